#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "core/foundation/clocks.h"

namespace beatwitness::recording::text {

/// What the two small numbers of 03/04/2031 are.
enum class DateOrder { DayFirst, MonthFirst };

/// Date, clock and zone as one cell writes them, before it is known what the numbers mean.
///
/// Taken: 2031-03-02, 2031/3/2, 20310302, 02.03.2031, 2/3/31, 2 Mar 2031, Mar 2, 2031, a weekday before; then
/// `T`, blanks, comma or underscore; then 9:05, 9:05:07, 9:05:07.250 (or ,250 or :250), 090507 behind a T; AM
/// or PM; then Z, UTC, GMT, +02, +0200, +02:00 or an abbreviation of RFC 822. A clock without a date and a
/// date without a clock, too.
struct CalendarText {
    enum class Date { None, YearFirst, TwoNumbersThenYear, Named };

    Date date = Date::None;
    int year = 0;
    int first = 0, second = 0;  ///< TwoNumbersThenYear: as written; otherwise month and day
    bool hasPoints = false;     ///< 02.03.2031: only the day-first countries write that

    int clockFields = 0;       ///< 0 none, 2 for 9:05, 3 for 9:05:07
    int clock[3] = {0, 0, 0};  ///< as written
    std::int64_t fraction_us = 0;
    int fractionDigits = 0;
    bool hasMeridiem = false;     ///< AM or PM; clock[0] is already of 24 hours
    std::optional<int> zone_min;  ///< east of UTC

    /// Where the seconds stand, for a reader that keeps what is before and behind them; 0 where there are
    /// none.
    std::size_t secondsAt = 0, secondsEnd = 0;

    /// Time of day, read as h:mm[:ss].
    [[nodiscard]] Micros timeOfDay() const;
};

/// Nothing where the cell is not wholly of this form. Requires: no blanks at the ends.
[[nodiscard]] std::optional<CalendarText> parseCalendar(std::string_view cell);

/// Midnight of the date, since 1970-01-01. Nothing where there is no such day or it lies outside 1980 to
/// 2100.
[[nodiscard]] std::optional<Micros> midnightOf(const CalendarText& text, DateOrder order);

}  // namespace beatwitness::recording::text
