#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace beatwitness::recording::text {

/// True for what tables write where there is no value: empty, NA, N/A, NaN, null, none, nil, -, --, ?, …
[[nodiscard]] bool isMissingMark(std::string_view cell);

/// The number in `cell`, whatever the locale. Always finite.
///
/// `decimalMark` is '.' or ','; the other one is taken as a mark of thousands where groups of three follow
/// it. A unit of the trade may follow ("72 bpm"). Requires: no blanks at the ends.
[[nodiscard]] std::optional<double> parseNumber(std::string_view cell, char decimalMark);

/// The number times 10^power, rounded to the nearest integer; exact for plain decimals of up to 18 digits.
[[nodiscard]] std::optional<std::int64_t> parseScaled(std::string_view cell, char decimalMark, int power);

/// What stands behind the last digit, without blanks: "min" of "1.5 min".
[[nodiscard]] std::string_view unitBehind(std::string_view cell);

/// Digits behind the decimal mark of a plain decimal, 0 for anything else.
[[nodiscard]] int fractionDigits(std::string_view cell, char decimalMark);

}  // namespace beatwitness::recording::text
