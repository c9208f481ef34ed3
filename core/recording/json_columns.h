#pragma once

#include <cstddef>
#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/recording/recording.h"
#include "core/recording/text_calendar.h"
#include "core/recording/text_columns.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording::json {

/// How dates are read.
struct CalendarRules {
    std::optional<text::Zone> zone;  ///< for times written without one
    text::DateOrder order = text::DateOrder::DayFirst;
};

/// The values of one key, or of one place in arrays of equal shape, by row. NaN where a row has none.
///
/// Chunks instead of one block: growing costs no second copy, and what was turned into channels can be freed
/// on the way.
struct Column {
    enum class Holds { Nothing, Numbers, Calendars };

    std::string name;  ///< as the file writes it
    text::ColumnMeaning meaning;
    Holds holds = Holds::Nothing;
    bool hasZone = false, lacksZone = false;           ///< of calendars: some do, some do not
    bool isClock = false;                              ///< of calendars: no date, counted from midnight
    bool isOrderOpen = false;                          ///< of calendars: 03/04/2031
    std::size_t onlyDayFirst = 0, onlyMonthFirst = 0;  ///< of these: 13/04/2031, and 04/13/2031
    std::deque<double> values;                         ///< calendars in microseconds since 1970

    /// Values of the other kind than the column's first are no values.
    void put(std::size_t row, double number);
    void put(std::size_t row, std::string_view cell, const CalendarRules& rules);
    void padTo(std::size_t rows);
    /// NaN where there is none.
    [[nodiscard]] double at(std::size_t row) const;
    [[nodiscard]] std::size_t validRates() const;
    /// Most steps lead forward, and some do.
    [[nodiscard]] bool ascends() const;

private:
    void place(std::size_t row, double value);
    /// In the order asked for, where there is such a day; counts what tells the order.
    std::optional<Micros> midnightBy(const text::CalendarText& calendar, text::DateOrder order);
};

/// How a column of times is read.
struct TimeScale {
    double toMicros = 1e6;
    bool isElapsed = true;
    ClockBasis clock = ClockBasis::None;
    std::string text;  ///< for people: "epoch milliseconds"
};

/// Numbers since 1970 are told by their magnitude, the unit of elapsed ones by the key or by their step.
[[nodiscard]] TimeScale timeScaleOf(const Column& column);

/// The instant of a value; nothing for NaN and what lies outside 1980 to 2100 (elapsed: a century).
[[nodiscard]] std::optional<Micros> instantOf(double value, const TimeScale& scale);

}  // namespace beatwitness::recording::json
