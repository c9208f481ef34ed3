#pragma once

#include <string>
#include <vector>

#include "core/analysis/session_analysis.h"
#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/library/library.h"

namespace beatwitness::evaluation {

/// One session of the library analysed whole, for looking at.
struct SessionView {
    library::SessionRow row;
    analysis::SessionAnalysis session;
    std::string reference;             ///< device of the scoring reference
    std::vector<std::string> devices;  ///< of each test, in the order of session.tests
    trace::PhasePlan phases;
    std::vector<trace::Pin> pins;
};

/// Analyses the session under these thresholds and the decisions in force, with every recorded test of
/// `devices` (all, where none are named) and every context. Faults: NothingToCompare (no recorded reference,
/// or no test with a recording), those of reading and of analyseSession().
[[nodiscard]] Result<SessionView> sessionView(library::Library& library, const library::SessionRow& row,
                                              const std::vector<std::string>& devices,
                                              bool excludeReferenceFaults,
                                              const analysis::Settings& settings = {},
                                              const RunControl& run = {});

}  // namespace beatwitness::evaluation
