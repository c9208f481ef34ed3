#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/alignment/contenders.h"
#include "core/alignment/offset_interval.h"

namespace beatwitness::alignment {

/// The best contender, with or without drift.
struct Fitted {
    FineFit fine;
    Drift drift = Drift::None;
    std::optional<FitIntervals> intervals;
};

/// Share of the shorter trace's seconds that the two have in common.
[[nodiscard]] double coverOf(const Grids& grids, const FineFit& fine);

/// Why an estimate cannot be trusted, one sentence; nullopt where it can. `list` as contenders() gives it,
/// `fitted` its first.
[[nodiscard]] std::optional<std::string> doubt(const Grids& grids, const std::vector<Contender>& list,
                                               const Fitted& fitted, ClockKnowledge knowledge,
                                               const Settings& settings);

}  // namespace beatwitness::alignment
