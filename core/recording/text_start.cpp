#include "core/recording/text_start.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "core/recording/text_calendar.h"
#include "core/recording/text_numbers.h"

namespace beatwitness::recording::text {
namespace {

bool namesStart(std::string_view key) {
    static constexpr std::array<std::string_view, 9> whole{"date",           "time",           "datetime",
                                                           "date and time",  "recording date", "session date",
                                                           "recording time", "session time",   "epoch"};
    if (key.find("start") != std::string_view::npos || key.starts_with("begin")) return true;
    return std::ranges::find(whole, key) != whole.end();
}

std::optional<Micros> epoch(std::string_view value) {
    const auto number = parseNumber(value, '.');
    if (!number) return std::nullopt;
    for (const int power : {6, 3, 0}) {
        const auto micros = parseScaled(value, '.', power);
        if (micros && *micros >= 315'532'800'000'000 && *micros < 4'133'980'800'000'000)
            return Micros{*micros};
    }
    return std::nullopt;
}

struct Parts {
    std::optional<CalendarText> full, date, clock;
    std::optional<Micros> epoch;
};

Parts partsOf(const std::vector<std::pair<std::string, std::string>>& preamble) {
    Parts parts;
    for (const auto& [key, value] : preamble) {
        if (!namesStart(key)) continue;
        if (const auto text = parseCalendar(value)) {
            const bool hasDate = text->date != CalendarText::Date::None;
            auto& place = !hasDate ? parts.clock : text->clockFields > 0 ? parts.full : parts.date;
            if (!place) place = text;
        } else if (!parts.epoch) {
            parts.epoch = epoch(value);
        }
    }
    return parts;
}

}  // namespace

PreambleStart preambleStart(const std::vector<std::pair<std::string, std::string>>& preamble,
                            const std::optional<Zone>& zone) {
    Parts parts = partsOf(preamble);
    PreambleStart start;
    if (!parts.full && !parts.date && parts.epoch) {
        start.instant = parts.epoch;
        start.isZoned = true;
        return start;
    }
    const auto& day = parts.full ? parts.full : parts.date;
    const auto& clock = parts.full ? parts.full : parts.clock;
    const auto midnight = day ? midnightOf(*day, DateOrder::DayFirst) : std::nullopt;
    if (!midnight) return start;
    const auto offset = day->zone_min ? day->zone_min : clock ? clock->zone_min : std::nullopt;
    const auto toUtc = [&](Micros local) {
        if (offset) return local - std::chrono::minutes{*offset};
        return zone ? zone->toUtc(local) : local;
    };
    start.isZoned = offset.has_value() || zone.has_value();
    start.midnight = toUtc(*midnight);
    if (clock) start.instant = toUtc(*midnight + clock->timeOfDay());
    return start;
}

}  // namespace beatwitness::recording::text
