#pragma once

#include <span>
#include <string>
#include <vector>

#include "core/evaluation/device_comparison.h"

namespace beatwitness::report {

/// "The watch errs 1.8 bpm less than the band …": two to four sentences on one pair under one clock, by the
/// mean absolute error. `comparisons` are those of the pair: activities, then all of them.
///
/// One is said to err less only where the interval of the difference leaves nothing else; where it does not,
/// the two cannot be told apart, which is never put as "no difference". A comparison of different sessions
/// says so.
[[nodiscard]] std::vector<std::string> comparisonSummary(
    std::span<const evaluation::DeviceComparison> comparisons);

/// What a column of the table of comparisons means, and where it comes from.
struct ComparedColumn {
    std::string_view name, definition;
};
[[nodiscard]] std::span<const ComparedColumn> comparedColumns();

/// One row a comparison for a metric (its JSON key), in the order of comparedColumns().
[[nodiscard]] std::vector<std::string> comparedRow(const evaluation::DeviceComparison& comparison,
                                                   std::string_view metric);

}  // namespace beatwitness::report
