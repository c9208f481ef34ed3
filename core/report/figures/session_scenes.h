#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/analysis/session_analysis.h"
#include "core/report/scene.h"
#include "core/trace/phases.h"
#include "core/trace/pin.h"

/// Figures of one session.
namespace beatwitness::report {

/// What people call things, and what they marked.
struct SessionWords {
    std::string title;  ///< "5 x 4 min on the ergometer"
    std::string reference = "reference";
    std::vector<std::string> devices;  ///< one for each test
    std::vector<int> deviceIndex;      ///< which colour each has; empty: in their order
    trace::PhasePlan phases;
    std::vector<trace::Pin> pins;
};

struct OverlayOptions {
    bool aligned = true;
    bool flags = true;
    bool errorStrip = true;
    bool phases = true;
    bool pins = true;
    bool mapBeside = false;  ///< the agreement map of the first test, of the part shown
    Cells::Scale scale = Cells::Scale::Log;
    std::optional<double> begin_s, end_s;  ///< the part to show; nothing: all
};

/// The pairs of the first test in the part shown, as the map beside counts them.
[[nodiscard]] trace::Pairs pairsShown(const analysis::SessionAnalysis& session,
                                      const OverlayOptions& options);
/// First and last second shown.
[[nodiscard]] std::array<double, 2> secondsShown(const analysis::SessionAnalysis& session,
                                                 const OverlayOptions& options);

/// Reference and tests over one time axis, with flags tinted, the error below, lanes of flags and phases.
[[nodiscard]] Scene overlayScene(const analysis::SessionAnalysis& session, const SessionWords& words,
                                 const OverlayOptions& options);

/// The disagreement over the clock offset of one test, with the estimate and its interval, or why there is
/// none.
[[nodiscard]] Scene lossCurveScene(const analysis::SessionAnalysis& session, std::size_t test,
                                   const SessionWords& words);

}  // namespace beatwitness::report
