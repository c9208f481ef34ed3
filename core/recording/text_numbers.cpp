#include "core/recording/text_numbers.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "core/recording/text_rows.h"

namespace beatwitness::recording::text {
namespace {

constexpr std::array<double, 20> powersOfTen{1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,
                                             1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19};
constexpr std::size_t longestNumber = 64;

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
}
bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

bool equalsIgnoringCase(std::string_view cell, std::string_view word) {
    return std::ranges::equal(cell, word, {}, lower);
}

constexpr int mostPlainDigits = 18;

/// A plain decimal: digits, at most one mark, at most 18 digits in all.
struct Plain {
    std::int64_t digits = 0;
    int count = 0;
    int behindMark = 0;
    bool isNegative = false;
};

/// Takes the digits at `at` into `value`; wraps around beyond 19 of them.
inline const char* takeDigits(const char* at, const char* end, std::uint64_t& value) {
    for (; at != end; ++at) {
        const auto digit = static_cast<unsigned>(*at - '0');
        if (digit > 9) break;
        value = value * 10 + digit;
    }
    return at;
}

inline std::optional<Plain> parsePlain(std::string_view cell, char decimalMark) {
    constexpr std::size_t longestPlain = mostPlainDigits + 2;
    if (cell.empty() || cell.size() > longestPlain) return std::nullopt;
    const char *at = cell.data(), *const end = at + cell.size();
    Plain plain;
    if (*at == '-' || *at == '+') plain.isNegative = *at++ == '-';
    std::uint64_t digits = 0;
    const char* const whole = at;
    at = takeDigits(at, end, digits);
    plain.count = static_cast<int>(at - whole);
    if (at != end && *at == decimalMark) {
        const char* const fraction = ++at;
        at = takeDigits(at, end, digits);
        plain.behindMark = static_cast<int>(at - fraction);
        plain.count += plain.behindMark;
    }
    // One digit more than 18 could overflow.
    if (at != end || plain.count == 0 || plain.count > mostPlainDigits) return std::nullopt;
    plain.digits = static_cast<std::int64_t>(digits);
    return plain;
}

bool isUnit(std::string_view text) {
    static constexpr std::array<std::string_view, 26> units{
        "bpm",  "/min",  "1/min", "min-1", "beats/min", "count/min", "rpm", "spm", "w",
        "watt", "watts", "m",     "km",    "km/h",      "kmh",       "mph", "m/s", "s",
        "sec",  "ms",    "mi",    "%",     "min",       "mins",      "h",   "hrs"};
    return std::ranges::any_of(units,
                               [text](std::string_view unit) { return equalsIgnoringCase(text, unit); });
}

/// True where each mark of thousands has a digit before it and three behind it.
bool groupsAreOfThree(std::string_view cell, char thousandsMark, char decimalMark) {
    std::size_t digits = 0;
    bool isGrouped = false;
    for (const char c : cell) {
        if (isDigit(c)) {
            ++digits;
        } else if (c == thousandsMark) {
            if (digits == 0 || digits > 3 || (isGrouped && digits != 3)) return false;
            isGrouped = true;
            digits = 0;
        } else if (c != '-' && c != '+') {
            if (c != decimalMark) return false;
            break;
        }
    }
    return !isGrouped || digits == 3;
}

/// What parseSlowly() reads: the mark made a point, thousands closed up.
struct Pointed {
    std::array<char, longestNumber> text{};
    std::size_t size = 0;
};

/// Nothing where `cell` holds what is no part of a number or is grouped otherwise than by thousands.
std::optional<Pointed> pointed(std::string_view cell, char decimalMark) {
    const char thousandsMark = decimalMark == ',' ? '.' : ',';
    Pointed number;
    bool isGrouped = false;
    for (const char c : cell) {
        if (c == thousandsMark) {
            isGrouped = true;
            continue;
        }
        const bool isPart = isDigit(c) || c == decimalMark || c == 'e' || c == 'E' || c == '-' || c == '+';
        if (!isPart) return std::nullopt;
        number.text[number.size++] = c == decimalMark ? '.' : c;
    }
    if (isGrouped && !groupsAreOfThree(cell, thousandsMark, decimalMark)) return std::nullopt;
    return number;
}

/// Without blanks, the ones that do not break a line (in UTF-8 or Latin-1) among them.
std::string_view withoutBlanksBefore(std::string_view text) {
    const std::size_t first = text.find_first_not_of(" \xC2\xA0\xE2\x80\xAF");
    return trimmed(text.substr(std::min(first, text.size())));
}

std::optional<double> parseSlowly(std::string_view cell, char decimalMark) {
    if (cell.empty() || cell.size() > longestNumber) return std::nullopt;
    if (cell[0] == '+') cell.remove_prefix(1);
    const std::size_t unitAt = cell.find_last_of("0123456789.,");
    if (unitAt == std::string_view::npos) return std::nullopt;
    std::size_t end = unitAt + 1;
    // "1/min" and "min-1" end in or begin with a digit: look for the blank before a unit first.
    if (const std::size_t blank = cell.find_first_of(" \xC2\xE2\xA0"); blank != std::string_view::npos)
        end = blank;
    const auto number = pointed(cell.substr(0, end), decimalMark);
    if (!number || number->size == 0) return std::nullopt;
    const std::string_view unit = withoutBlanksBefore(cell.substr(end));
    if (!unit.empty() && !isUnit(unit)) return std::nullopt;
    const char* text = number->text.data();
    const char first = text[0] == '-' && number->size > 1 ? text[1] : text[0];
    if (!isDigit(first) && first != '.') return std::nullopt;
    double value = 0.0;
    const auto [stop, error] = std::from_chars(text, text + number->size, value);
    if (error != std::errc{} || stop != text + number->size || !std::isfinite(value)) return std::nullopt;
    return value;
}

}  // namespace

bool isMissingMark(std::string_view cell) {
    static constexpr std::array<std::string_view, 18> marks{
        "",    "na", "n/a",  "nan",  "null",    "none", "nil", "-",         "--",
        "---", "?",  "#n/a", "<na>", "missing", ".",    "_",   "undefined", "inf"};
    if (cell.size() > 9 || (!cell.empty() && isDigit(cell[0]))) return false;
    return std::ranges::any_of(marks,
                               [cell](std::string_view mark) { return equalsIgnoringCase(cell, mark); });
}

std::optional<double> parseNumber(std::string_view cell, char decimalMark) {
    const auto plain = parsePlain(cell, decimalMark);
    // Both the digits and the power of ten are exact in a double here, so the quotient is the nearest one.
    if (plain && plain->digits < (std::int64_t{1} << 53)) {
        const double value =
            static_cast<double>(plain->digits) / powersOfTen[static_cast<std::size_t>(plain->behindMark)];
        return plain->isNegative ? -value : value;
    }
    return parseSlowly(cell, decimalMark);
}

std::optional<std::int64_t> parseScaled(std::string_view cell, char decimalMark, int power) {
    const auto plain = parsePlain(cell, decimalMark);
    if (!plain || plain->count - plain->behindMark + power > 18) {
        const auto value = parseNumber(cell, decimalMark);
        if (!value) return std::nullopt;
        const double scaled = *value * std::pow(10.0, power);
        if (std::abs(scaled) > 9e18) return std::nullopt;
        return static_cast<std::int64_t>(std::llround(scaled));
    }
    std::int64_t scaled = plain->digits;
    int shift = power - plain->behindMark;
    for (; shift > 0; --shift)
        scaled *= 10;
    if (shift < -18) return 0;
    if (shift < 0) {
        std::int64_t divisor = 1;
        for (; shift < 0; ++shift)
            divisor *= 10;
        scaled = (scaled + divisor / 2) / divisor;
    }
    return plain->isNegative ? -scaled : scaled;
}

std::string_view unitBehind(std::string_view cell) {
    const std::size_t last = cell.find_last_of("0123456789.,");
    return last == std::string_view::npos ? std::string_view{} : withoutBlanksBefore(cell.substr(last + 1));
}

int fractionDigits(std::string_view cell, char decimalMark) {
    const auto plain = parsePlain(cell, decimalMark);
    return plain ? plain->behindMark : 0;
}

}  // namespace beatwitness::recording::text
