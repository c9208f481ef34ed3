#include "core/recording/text_paced.h"

#include <fmt/format.h>

#include <array>

#include "core/foundation/text.h"
#include "core/recording/heart_rate_range.h"
#include "core/recording/text_numbers.h"
#include "core/recording/text_rows.h"

namespace beatwitness::recording::text {
namespace {

constexpr std::size_t rowsBetweenReports = 65'536;
constexpr double highestPace_hz = 1000.0;
/// A column of other quantities (acceleration, temperature) has few numbers that could be heart rates.
constexpr std::size_t leastRateShare_pct = 50;

/// A separator that no number holds: each line is one field.
constexpr Separator wholeLines{'\n', false};

struct Pace {
    Micros start{0};
    double rate_hz = 1.0;
};

std::optional<Pace> paceOf(std::string_view text) {
    RowScanner scanner{text.substr(0, 4096), wholeLines, 1};
    std::array<std::string_view, 3> lines;
    Row row;
    for (auto& line : lines) {
        if (!scanner.next(row)) return std::nullopt;
        line = row.field(0);
    }
    const auto start = parseScaled(lines[0], '.', 6);
    const auto rate = parseNumber(lines[1], '.');
    if (!start || !rate || !parseNumber(lines[2], '.')) return std::nullopt;
    if (*start < 315'532'800'000'000 || *start >= 4'133'980'800'000'000) return std::nullopt;
    if (*rate <= 0.0 || *rate > highestPace_hz) return std::nullopt;
    return Pace{Micros{*start}, *rate};
}

}  // namespace

bool looksPaced(std::string_view text) {
    return paceOf(text).has_value();
}

Result<Recording> readPaced(std::string_view text, const RunControl& run) {
    const Pace pace = *paceOf(text);
    RowScanner scanner{text, wholeLines, 1};
    Row row;
    Channel rates;
    std::size_t number = 0, valid = 0, unreadable = 0, firstUnreadable = 0;
    while (scanner.next(row)) {
        // The first two rows are start and pace.
        if (number++ < 2) continue;
        if (number % rowsBetweenReports == 0) {
            if (run.stopRequested()) return cancelled();
            run.progress(static_cast<double>(scanner.offset()) / static_cast<double>(text.size()));
        }
        const auto value = parseNumber(row.field(0), '.');
        if (!value && !isMissingMark(row.field(0)) && unreadable++ == 0) firstUnreadable = row.line;
        if (!value || *value == 0.0 || *value == 255.0) continue;
        valid += isValidHeartRate(*value);
        rates.times.emplace_back(pace.start +
                                 toMicros(Seconds{static_cast<double>(number - 3) / pace.rate_hz}));
        rates.values.push_back(*value);
    }
    if (valid * 100 < rates.values.size() * leastRateShare_pct || valid == 0)
        return Fault{FaultCode::UnknownFormat,
                     "a start, a pace and values were found, but the values are no heart rates: numbers from "
                     "25 to 250 "
                     "were expected",
                     {},
                     {},
                     3};
    Recording recording;
    recording.rows = number - 2;
    recording.channels.push_back(std::move(rates));
    recording.guessed = {{"header", "none"},
                         {"time column", "none: line 1 is the start, line 2 the samples a second"},
                         {"time kind", fmt::format("epoch seconds, {} samples a second", pace.rate_hz)},
                         {"rate column", "column 1"}};
    if (unreadable > 0)
        recording.warnings.push_back(
            fmt::format("{} row{} with a heart_rate that is no number, counted as missing (first in line {})",
                        unreadable, unreadable == 1 ? "" : "s", firstUnreadable));
    return recording;
}

}  // namespace beatwitness::recording::text
