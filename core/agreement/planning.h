#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/agreement/criterion.h"

/// How many sessions a criterion will take, before the first of them.
namespace beatwitness::agreement {

/// What somebody expects, in the metric's unit: assumptions, said as such wherever they are shown.
struct Expectation {
    double value = 0.0;   ///< of the pooled figure
    double spread = 0.0;  ///< standard deviation between sessions
};

/// Where the words make no sense for the metric: one sentence. Both are finite; a spread is above 0; sizes
/// are above 0; shares lie between 0 and 100.
[[nodiscard]] std::optional<std::string> wrongWith(const Criterion& criterion,
                                                   const Expectation& expectation);

/// The interval that so many sessions would give if the expectation held, and what it would say.
///
/// The same t interval as of recorded sessions (pooled_agreement.h): on the log scale for sizes, where a
/// spread counts by its share of the value; shares are clipped to 0 to 100.
struct PlannedInterval {
    std::size_t units = 0;  ///< at least 2
    Interval interval;
    Verdict verdict = Verdict::CannotTellYet;
};
[[nodiscard]] PlannedInterval plannedInterval(const Criterion& criterion, const Expectation& expectation,
                                              std::size_t units);

/// Fewest sessions whose interval would decide; nothing where that takes more than mostNeeded, or where the
/// expectation lies on the limit itself.
[[nodiscard]] std::optional<std::size_t> unitsPlanned(const Criterion& criterion,
                                                      const Expectation& expectation);

/// The expectation that a judged figure of `units` sampling units amounts to; nothing without an interval or
/// where it does not vary.
[[nodiscard]] std::optional<Expectation> expectationOf(const CriterionResult& result, std::size_t units);

/// At most, at least or within: what people usually ask of the metric.
[[nodiscard]] Sense usualSense(const MetricFacts& facts);

/// "MAPE at most 5 %, rowing ergometer, 95 % sure"; the device and activity where the criterion is on one.
[[nodiscard]] std::string criterionWords(const Criterion& criterion);

}  // namespace beatwitness::agreement
