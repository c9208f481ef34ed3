#include "core/recording/text_paced.h"

#include <fmt/format.h>

#include <array>

#include "core/foundation/text.h"
#include "core/recording/heart_rate_range.h"
#include "core/recording/text_calendar.h"
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
    bool isEpoch = true;
    std::optional<int> zone_min;  ///< of a start that is no epoch
    double rate_hz = 1.0;
};

/// An epoch in seconds, or a date and a time.
std::optional<Pace> startOf(std::string_view cell) {
    if (const auto micros = parseScaled(cell, '.', 6)) {
        if (*micros < 315'532'800'000'000 || *micros >= 4'133'980'800'000'000) return std::nullopt;
        return Pace{Micros{*micros}};
    }
    const auto text = parseCalendar(cell);
    if (!text || text->clockFields == 0) return std::nullopt;
    const auto midnight = midnightOf(*text, DateOrder::DayFirst);
    if (!midnight) return std::nullopt;
    return Pace{*midnight + text->timeOfDay(), false, text->zone_min};
}

std::optional<Pace> paceOf(std::string_view text) {
    RowScanner scanner{text.substr(0, 4096), wholeLines, 1};
    std::array<std::string_view, 3> lines;
    Row row;
    for (auto& line : lines) {
        if (!scanner.next(row)) return std::nullopt;
        line = row.field(0);
    }
    auto pace = startOf(lines[0]);
    const auto rate = parseNumber(lines[1], '.');
    if (!pace || !rate || !parseNumber(lines[2], '.')) return std::nullopt;
    if (*rate <= 0.0 || *rate > highestPace_hz) return std::nullopt;
    pace->rate_hz = *rate;
    return pace;
}

/// The start as an instant, and what is to be told of it.
void settleStart(Pace& pace, Recording& recording, const std::optional<Zone>& zone) {
    if (pace.isEpoch) return;
    if (pace.zone_min)
        pace.start -= std::chrono::minutes{*pace.zone_min};
    else if (zone)
        pace.start = zone->toUtc(pace.start);
    if (pace.zone_min || zone) return;
    recording.clock = ClockBasis::ZoneUnknown;
    recording.warnings.emplace_back(
        "the start names no zone; it was laid on UTC provisionally (--zone says otherwise)");
}

}  // namespace

bool looksPaced(std::string_view text) {
    return paceOf(text).has_value();
}

Result<Recording> readPaced(std::string_view text, const std::optional<Zone>& zone, const RunControl& run) {
    Pace pace = *paceOf(text);
    Recording recording;
    settleStart(pace, recording, zone);
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
    recording.rows = number - 2;
    recording.channels.push_back(std::move(rates));
    recording.guessed = {
        {"header", "none"},
        {"time column", "none: line 1 is the start, line 2 the samples a second"},
        {"time kind", fmt::format("{}, {} samples a second", pace.isEpoch ? "epoch seconds" : "date and time",
                                  pace.rate_hz)},
        {"rate column", "column 1"}};
    if (unreadable > 0)
        recording.warnings.push_back(
            fmt::format("{} row{} with a heart_rate that is no number, counted as missing (first in line {})",
                        unreadable, unreadable == 1 ? "" : "s", firstUnreadable));
    return recording;
}

}  // namespace beatwitness::recording::text
