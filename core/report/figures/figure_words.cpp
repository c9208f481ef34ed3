#include "core/report/figures/figure_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace beatwitness::report {
namespace {

constexpr const char* minus = "\u2212";

/// The digits alone, rounded as every other text of the program rounds them.
std::string digitsOf(double value, int decimals) {
    return fmt::format("{:.{}f}", std::abs(value), decimals);
}

/// False where the digits left are all zero, so that -0.04 does not become "-0.0".
bool showsAnything(const std::string& digits) {
    return digits.find_first_not_of("0.") != std::string::npos;
}

}  // namespace

std::string figureNumber(std::optional<double> value, int decimals) {
    if (!value || !std::isfinite(*value)) return "\u2014";
    const auto digits = digitsOf(*value, decimals);
    return fmt::format("{}{}", *value < 0 && showsAnything(digits) ? minus : "", digits);
}

std::string signedNumber(double value, int decimals) {
    const bool plus = value > 0 && showsAnything(digitsOf(value, decimals));
    return fmt::format("{}{}", plus ? "+" : "", figureNumber(value, decimals));
}

std::string countWords(double count) {
    const std::string digits = fmt::format("{:.0f}", count);
    std::string grouped;
    for (std::size_t i = 0; i < digits.size(); ++i) {
        if (i > 0 && (digits.size() - i) % 3 == 0) grouped.push_back(',');
        grouped.push_back(digits[i]);
    }
    return grouped;
}

std::string counted(double count, const std::string& one, const std::string& many) {
    return fmt::format("{} {}", countWords(count), count == 1.0 ? one : many);
}

std::string lengthWords(double seconds) {
    const auto whole = static_cast<long long>(std::llround(seconds));
    if (whole < 120) return fmt::format("{} s", whole);
    const auto minutes = (whole + 30) / 60;
    if (minutes < 120) return fmt::format("{} min", minutes);
    return fmt::format("{} h {:02} min", minutes / 60, minutes % 60);
}

std::string kindWords(std::string_view kind) {
    std::string words(kind);
    std::ranges::replace(words, '-', ' ');
    return words;
}

Bounds roundBounds(double lowest, double highest, double step) {
    Bounds bounds{std::floor(lowest / step) * step, std::ceil(highest / step) * step};
    if (bounds.highest - bounds.lowest < step) bounds.highest = bounds.lowest + step;
    return bounds;
}

}  // namespace beatwitness::report
