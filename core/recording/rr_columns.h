#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "core/recording/text_dialect.h"

namespace beatwitness::recording::rr {

/// The median of intervals or of steps between beats says their unit: 250 to 2500 are milliseconds, 0.25 to
/// 2.5 seconds. Returns milliseconds a unit; nothing for numbers that are neither.
[[nodiscard]] std::optional<double> millisecondsBy(double median);

/// The upper median; 0 where there are none.
[[nodiscard]] double medianOf(std::vector<double> values);

/// What the sampled cells of one column are, its first rows apart.
struct ColumnFacts {
    std::size_t filled = 0, numbers = 0, words = 0, up = 0, down = 0, byOne = 0, whole = 0;
    std::size_t longestWord = 0;
    std::vector<double> values, steps;

    [[nodiscard]] bool isNumeric() const { return numbers > 0 && numbers * 10 >= filled * 8; }
    [[nodiscard]] bool isLabel() const { return words > 0 && words * 10 >= filled * 8 && longestWord <= 12; }
    [[nodiscard]] bool ascends() const { return isNumeric() && up > 0 && down * 50 <= up; }
    [[nodiscard]] bool counts() const { return !steps.empty() && byOne == steps.size(); }
    /// All steps are alike.
    [[nodiscard]] bool isEven() const;
};

/// Leaves out the first `skipped` of the sampled rows.
[[nodiscard]] ColumnFacts factsOf(const text::Dialect& dialect, std::size_t column, std::size_t skipped);

}  // namespace beatwitness::recording::rr
