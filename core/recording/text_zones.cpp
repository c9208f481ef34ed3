#include "core/recording/text_zones.h"

#include <date/tz.h>
#include <fmt/format.h>

#include <exception>

#include "core/foundation/text.h"
#include "core/recording/text_calendar.h"

namespace beatwitness::recording::text {

struct Zone::Rules {
    const date::time_zone* zone = nullptr;
};

namespace {

/// The offset of "Z", "utc", "+02:00", …: what parseCalendar() takes behind a clock.
std::optional<int> writtenOffset(std::string_view name) {
    const auto text = parseCalendar(fmt::format("2000-01-01T00:00:00{}", name));
    return text ? text->zone_min : std::nullopt;
}

/// nullptr where the database does not know the name, or is not there.
const date::time_zone* databaseZone(std::string_view name) {
    if (name.empty() || name.front() == '/' || name.find("..") != std::string_view::npos) return nullptr;
    try {
        return date::locate_zone(name);
    } catch (const std::exception&) {
        return nullptr;
    }
}

}  // namespace

Result<Zone> Zone::named(std::string_view name) {
    Zone zone;
    if (name.size() <= 12) {
        if (const auto offset = writtenOffset(name)) {
            zone.offset_min_ = *offset;
            return zone;
        }
    }
    if (const auto* found = databaseZone(name)) {
        zone.rules_ = std::make_shared<const Rules>(Rules{found});
        return zone;
    }
    return Fault{
        FaultCode::WrongUsage,
        fmt::format("\"{}\" is no known zone; \"UTC\", an offset such as \"+02:00\" or a name such as "
                    "\"Europe/Paris\" was expected",
                    printable(name)),
        {},
        {},
        {}};
}

Micros Zone::toUtc(Micros local) const {
    if (!rules_) return local - std::chrono::minutes{offset_min_};
    try {
        const auto instant = rules_->zone->to_sys(date::local_time<Micros>{local}, date::choose::earliest);
        return std::chrono::duration_cast<Micros>(instant.time_since_epoch());
    } catch (const std::exception&) {
        return local;
    }
}

Result<std::optional<Zone>> zoneAsked(const std::optional<std::string>& name) {
    if (!name) return std::optional<Zone>{};
    auto zone = Zone::named(*name);
    if (!zone) return zone.fault();
    return std::optional{*std::move(zone)};
}

}  // namespace beatwitness::recording::text
