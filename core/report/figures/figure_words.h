#pragma once

#include <optional>
#include <string>

/// Numbers and words as figures print them: a true minus, a thin rim of rules shared by all builders.
namespace beatwitness::report {

/// "9.6", "−3.1"; an em dash where there is none.
[[nodiscard]] std::string figureNumber(std::optional<double> value, int decimals = 1);
/// "+3.4", "−3.1", "0.0".
[[nodiscard]] std::string signedNumber(double value, int decimals = 1);
/// "32,418".
[[nodiscard]] std::string countWords(double count);
/// "1 session", "12 sessions".
[[nodiscard]] std::string counted(double count, const std::string& one, const std::string& many);
/// "48 min", "3 h 05 min", "42 s".
[[nodiscard]] std::string lengthWords(double seconds);
/// "half-rate" … as people read it: "half rate", "missed rise".
[[nodiscard]] std::string kindWords(std::string_view kind);

/// Lowest and highest at round numbers around `lowest` and `highest`, with `step` at least between them.
struct Bounds {
    double lowest = 0.0, highest = 1.0;
};
[[nodiscard]] Bounds roundBounds(double lowest, double highest, double step);

}  // namespace beatwitness::report
