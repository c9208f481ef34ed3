#include "core/foundation/text.h"

#include <date/date.h>
#include <fmt/format.h>

#include <cmath>

namespace beatwitness {
namespace {

/// Length in bytes of the well-formed UTF-8 sequence at the start of `bytes`; 0 where it is broken.
std::size_t sequenceLength(std::string_view bytes) {
    const auto lead = static_cast<unsigned char>(bytes[0]);
    const std::size_t length = lead < 0x80   ? 1
                               : lead < 0xC2 ? 0
                               : lead < 0xE0 ? 2
                               : lead < 0xF0 ? 3
                               : lead < 0xF5 ? 4
                                             : 0;
    if (length == 0 || length > bytes.size()) return 0;
    for (std::size_t i = 1; i < length; ++i)
        if ((static_cast<unsigned char>(bytes[i]) & 0xC0) != 0x80) return 0;
    return length;
}

}  // namespace

std::string isoInstant(Micros sinceEpoch) {
    const auto millis =
        std::chrono::floor<std::chrono::milliseconds>(sinceEpoch + std::chrono::microseconds{500});
    const date::sys_time<std::chrono::milliseconds> instant{millis};
    const auto day = date::floor<date::days>(instant);
    const date::year_month_day ymd{day};
    const date::hh_mm_ss time{instant - day};
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}Z", static_cast<int>(ymd.year()),
                       static_cast<unsigned>(ymd.month()), static_cast<unsigned>(ymd.day()),
                       time.hours().count(), time.minutes().count(), time.seconds().count(),
                       time.subseconds().count());
}

std::string sessionClockText(double seconds_s) {
    const auto total = static_cast<long long>(std::llround(std::abs(seconds_s)));
    const char* sign = seconds_s < 0 && total > 0 ? "-" : "";
    const long long hours = total / 3600, minutes = total / 60 % 60, seconds = total % 60;
    if (hours > 0) return fmt::format("{}{}:{:02}:{:02}", sign, hours, minutes, seconds);
    return fmt::format("{}{}:{:02}", sign, minutes, seconds);
}

std::string printable(std::string_view bytes, std::size_t limit) {
    std::string shown;
    std::size_t characters = 0;
    while (!bytes.empty()) {
        if (characters++ == limit) return shown + "…";
        const std::size_t length = sequenceLength(bytes);
        const auto lead = static_cast<unsigned char>(bytes[0]);
        if (length == 0 || lead < 0x20 || lead == 0x7F)
            shown += '?';
        else
            shown += bytes.substr(0, length);
        bytes.remove_prefix(length == 0 ? 1 : length);
    }
    return shown;
}

}  // namespace beatwitness
