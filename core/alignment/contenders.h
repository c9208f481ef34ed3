#pragma once

#include <vector>

#include "core/alignment/coarse_search.h"
#include "core/alignment/fine_fit.h"
#include "core/alignment/second_grid.h"
#include "core/alignment/settings.h"
#include "core/foundation/run_control.h"

namespace beatwitness::alignment {

/// Both traces, ready to be slid along each other, and what the device under test would show of the first.
struct Grids {
    SecondGrid reference;
    SecondGrid test;
    Shown shown;
};

/// A candidate after least squares, and how much it explains.
struct Contender {
    ShiftScore coarse;
    FineFit fine;
    double explained_nats = 0.0;
};

/// Shifts worth a fit around no offset at all, or for an undated file anywhere; most evidence first. With an
/// unknown zone, around every whole and half hour.
[[nodiscard]] std::vector<ShiftScore> nearestShifts(const Grids& grids, ClockKnowledge knowledge,
                                                    const Settings& settings, const RunControl& run);

/// Shifts worth a fit around whole and half hours, none excepted; most evidence first.
[[nodiscard]] std::vector<ShiftScore> zoneShifts(const Grids& grids, const Settings& settings,
                                                 const RunControl& run);

/// Whether a shift lies at the border of what was looked through, where no minimum can be seen.
[[nodiscard]] bool atEdge(std::int64_t shift_s, ClockKnowledge knowledge, const Settings& settings);

/// The shifts worth it, fitted; the best first, then by what they explain.
///
/// The best explains most, but for one thing: a device can follow late, never early. Of offsets that a lag
/// can confuse and that explain about as much, the latest test is taken: the transitions that it leaves out
/// lag there, while under the others they would lead. Requires: `minima` not empty.
[[nodiscard]] std::vector<Contender> contenders(const Grids& grids, const std::vector<ShiftScore>& minima,
                                                const Settings& settings);

}  // namespace beatwitness::alignment
