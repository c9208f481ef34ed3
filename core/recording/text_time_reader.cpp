#include <cmath>
#include <cstring>

#include "core/recording/text_numbers.h"
#include "core/recording/text_times.h"

namespace beatwitness::recording::text {
namespace {

using std::chrono::hours;

/// A century of elapsed time: more is no elapsed time.
constexpr double longestElapsed_us = 3.2e15;
/// Spreadsheets count days since 1899-12-30: this many to 1970-01-01.
constexpr double serialDayOf1970 = 25'569.0;

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

}  // namespace

TimeReader::TimeReader(TimeLayout layout, std::optional<Micros> start, std::optional<Zone> zone)
    : layout_(layout), start_(start), zone_(std::move(zone)) {}

std::optional<RecordingTime> TimeReader::read(const Row& row) {
    const std::string_view cell = row.field(layout_.column);
    if (cell.empty()) return std::nullopt;
    std::optional<Micros> time;
    if (layout_.clockColumn)
        time = readPair(cell, row.field(*layout_.clockColumn));
    else if (layout_.kind == TimeKind::Epoch || layout_.kind == TimeKind::Elapsed)
        time = readNumber(cell);
    else if (layout_.kind == TimeKind::Clock)
        time = readClock(cell);
    else if (layout_.isSerialDay)
        time = readSerialDay(cell);
    else
        time = readCalendar(cell);
    if (!time) return std::nullopt;
    return RecordingTime{*time};
}

std::optional<Micros> TimeReader::readNumber(std::string_view cell) const {
    const auto scaled = parseScaled(cell, layout_.decimalMark, layout_.power);
    if (!scaled) return std::nullopt;
    if (layout_.kind == TimeKind::Epoch) {
        const Micros instant{*scaled};
        return instant >= earliestInstant && instant < latestInstant ? std::optional{instant} : std::nullopt;
    }
    if (std::abs(static_cast<double>(*scaled) * layout_.factor) > longestElapsed_us) return std::nullopt;
    Micros elapsed{*scaled};
    // Minutes and hours are rarely whole microseconds: from the number itself.
    if (layout_.factor != 1.0) {
        const auto number = parseNumber(cell, layout_.decimalMark);
        elapsed = toMicros(Seconds{number.value_or(0.0) * layout_.factor});
    }
    return start_.value_or(Micros{0}) + elapsed;
}

std::optional<Micros> TimeReader::readSerialDay(std::string_view cell) const {
    const auto days = parseNumber(cell, layout_.decimalMark);
    if (!days || *days < earliestSerialDay || *days >= latestSerialDay) return std::nullopt;
    // Eight digits behind the mark are a millisecond: finer is the rounding of days.
    const auto millis = std::llround((*days - serialDayOf1970) * 86'400'000.0);
    return zoned(Micros{millis * 1000}, {});
}

Micros TimeReader::zoned(Micros local, const CalendarText& text) const {
    if (text.zone_min) return local - std::chrono::minutes{*text.zone_min};
    if (zone_ && !layout_.isUtc) return zone_->toUtc(local);
    return local;
}

/// The time of a cell that differs from the kept one in its seconds only.
inline std::optional<Micros> TimeReader::fromKept(std::string_view cell) const {
    const Kept& k = kept_;
    if (k.headSize == 0 || cell.size() < k.headSize + k.tailSize + 2) return std::nullopt;
    if (std::memcmp(cell.data(), k.head, k.headSize) != 0) return std::nullopt;
    if (std::memcmp(cell.data() + cell.size() - k.tailSize, k.tail, k.tailSize) != 0) return std::nullopt;
    const std::string_view seconds = cell.substr(k.headSize, cell.size() - k.headSize - k.tailSize);
    if (!isDigit(seconds[0]) || !isDigit(seconds[1])) return std::nullopt;
    const std::int64_t whole = (seconds[0] - '0') * 10 + (seconds[1] - '0');
    if (whole > 60) return std::nullopt;
    std::int64_t micros = whole * 1'000'000;
    if (seconds.size() > 2) {
        if ((seconds[2] != '.' && seconds[2] != ',') || seconds.size() == 3 || seconds.size() > 9)
            return std::nullopt;
        std::int64_t scale = 100'000;
        for (std::size_t i = 3; i < seconds.size(); ++i, scale /= 10) {
            if (!isDigit(seconds[i])) return std::nullopt;
            micros += (seconds[i] - '0') * scale;
        }
    }
    return k.minute + Micros{micros};
}

void TimeReader::keep(std::string_view cell, const CalendarText& text, Micros instant) {
    kept_.headSize = 0;
    const std::size_t tail = cell.size() - text.secondsEnd;
    if (text.clockFields != 3 || text.secondsAt > sizeof kept_.head || tail > sizeof kept_.tail) return;
    std::memcpy(kept_.head, cell.data(), text.secondsAt);
    std::memcpy(kept_.tail, cell.data() + text.secondsEnd, tail);
    kept_.headSize = text.secondsAt;
    kept_.tailSize = tail;
    kept_.minute = instant - Micros{text.clock[2] * 1'000'000LL + text.fraction_us};
}

std::optional<Micros> TimeReader::readCalendar(std::string_view cell) {
    if (const auto kept = fromKept(cell)) return kept;
    const auto text = parseCalendar(cell);
    if (!text || text->clockFields == 0) return std::nullopt;
    const auto midnight = midnightOf(*text, layout_.order);
    if (!midnight) return std::nullopt;
    const Micros instant = zoned(*midnight + text->timeOfDay(), *text);
    keep(cell, *text, instant);
    return instant;
}

std::optional<Micros> TimeReader::readPair(std::string_view date, std::string_view clock) const {
    const auto day = parseCalendar(date), time = parseCalendar(clock);
    if (!day || !time || time->date != CalendarText::Date::None || time->clock[0] > 24) return std::nullopt;
    const auto midnight = midnightOf(*day, layout_.order);
    if (!midnight) return std::nullopt;
    return zoned(*midnight + time->timeOfDay(), *time);
}

std::optional<Micros> TimeReader::readClock(std::string_view cell) {
    const auto text = parseCalendar(cell);
    if (!text || text->date != CalendarText::Date::None) return std::nullopt;
    Micros clock = text->timeOfDay();
    if (text->clockFields == 2 && layout_.clockIsMinutes)
        clock = Micros{(text->clock[0] * 60LL + text->clock[1]) * 1'000'000 + text->fraction_us};
    // Back by more than half a day is midnight passed.
    if (lastClock_ && clock < *lastClock_ - hours{12}) daysPassed_ += hours{24};
    if (lastClock_ && clock > *lastClock_ + hours{12} && daysPassed_ > Micros{0}) daysPassed_ -= hours{24};
    lastClock_ = clock;
    return start_.value_or(Micros{0}) + daysPassed_ + clock;
}

}  // namespace beatwitness::recording::text
