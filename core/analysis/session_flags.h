#pragma once

#include <span>
#include <vector>

#include "core/analysis/context_traces.h"
#include "core/analysis/session_analysis.h"

/// What a session's flags are found with; parts of analyseSession().
namespace beatwitness::analysis {

/// Steps or strokes a minute at whole seconds: of the reference's own channel, else of the test's (under
/// `correction`), else of the first context that has one. A channel that is 0 throughout is none. Empty
/// without.
[[nodiscard]] trace::SecondlyRates cadenceSeconds(std::span<const ContextTrace> traces);

/// Fills in the mean error over the paired seconds of each flag. `faultFree`: pairs without any exclusion.
void fillMeanErrors(std::vector<flags::Flag>& flags, const trace::Pairs& pairs);

/// Suspicions against the reference: seconds in which `test` and an earlier test agree with each other but
/// not with the reference, outside `known` reference faults. Never excluded: devices under test do not judge
/// their judge.
[[nodiscard]] std::vector<flags::Flag> suspectedReferenceFlags(const ClockView& test,
                                                               const ClockView& earlier,
                                                               const std::string& earlierFile,
                                                               std::span<const flags::Flag> known,
                                                               const flags::ReferenceSettings& settings);

}  // namespace beatwitness::analysis
