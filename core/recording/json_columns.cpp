#include "core/recording/json_columns.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "core/recording/heart_rate_range.h"
#include "core/recording/text_calendar.h"
#include "core/recording/text_numbers.h"
#include "core/recording/text_rows.h"

namespace beatwitness::recording::json {
namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();
constexpr double earliest_us = 315'532'800e6, latest_us = 4'133'980'800e6;
constexpr double longestElapsed_us = 3.2e15;
constexpr std::size_t judgedValues = 400;
/// No watch writes a row every quarter of an hour and more: such steps are of a finer unit.
constexpr double longestStep_s = 900.0;

struct Unit {
    double toMicros;
    const char* name;
};
constexpr std::array<Unit, 4> units{
    {{1e6, "seconds"}, {1e3, "milliseconds"}, {1.0, "microseconds"}, {1e-3, "nanoseconds"}}};

bool isInstant(double micros) {
    return micros >= earliest_us && micros < latest_us;
}

std::vector<double> sampled(const Column& column) {
    std::vector<double> values;
    for (const double value : column.values) {
        if (!std::isnan(value)) values.push_back(value);
        if (values.size() >= judgedValues) break;
    }
    return values;
}

std::optional<TimeScale> epochScale(const std::vector<double>& values) {
    for (const Unit& unit : units) {
        const auto fitting = static_cast<std::size_t>(std::ranges::count_if(
            values, [&unit](double value) { return isInstant(value * unit.toMicros); }));
        if (fitting > 0 && fitting * 2 >= values.size())
            return TimeScale{unit.toMicros, false, ClockBasis::Utc, std::string{"epoch "} + unit.name};
    }
    return std::nullopt;
}

double medianStep(const std::vector<double>& values) {
    std::vector<double> steps;
    for (std::size_t i = 1; i < values.size(); ++i)
        if (values[i] > values[i - 1]) steps.push_back(values[i] - values[i - 1]);
    if (steps.empty()) return 0.0;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::ranges::nth_element(steps, middle);
    return *middle;
}

TimeScale elapsedScale(const std::vector<double>& values, text::TimeUnit said) {
    const auto scale = [](double toMicros, const char* name) {
        return TimeScale{toMicros, true, ClockBasis::None, std::string{"elapsed "} + name};
    };
    switch (said) {
        case text::TimeUnit::Seconds:
            return scale(1e6, "seconds");
        case text::TimeUnit::Millis:
            return scale(1e3, "milliseconds");
        case text::TimeUnit::Micros:
            return scale(1.0, "microseconds");
        case text::TimeUnit::Nanos:
            return scale(1e-3, "nanoseconds");
        case text::TimeUnit::Minutes:
            return scale(60e6, "minutes");
        case text::TimeUnit::Hours:
            return scale(3600e6, "hours");
        case text::TimeUnit::Unsaid:
            break;
    }
    double step_s = medianStep(values);
    for (const Unit& unit : units) {
        if (step_s < longestStep_s) return scale(unit.toMicros, unit.name);
        step_s /= 1000.0;
    }
    return scale(1e6, "seconds");
}

}  // namespace

void Column::padTo(std::size_t rows) {
    if (values.size() < rows) values.resize(rows, none);
}

void Column::place(std::size_t row, double value) {
    padTo(row + 1);
    values[row] = value;
}

double Column::at(std::size_t row) const {
    return row < values.size() ? values[row] : none;
}

void Column::put(std::size_t row, double number) {
    if (holds == Holds::Nothing) holds = Holds::Numbers;
    if (holds == Holds::Numbers && std::isfinite(number)) place(row, number);
}

void Column::put(std::size_t row, std::string_view cell, const CalendarRules& rules) {
    cell = text::trimmed(cell);
    if (cell.size() > 64 || text::isMissingMark(cell)) return;
    if (const auto number = text::parseNumber(cell, '.')) {
        put(row, *number);
        return;
    }
    const auto calendar = text::parseCalendar(cell);
    if (!calendar || holds == Holds::Numbers) return;
    std::optional<Micros> instant;
    if (calendar->date == text::CalendarText::Date::None) {
        instant = calendar->timeOfDay();
        isClock = true;
    } else {
        const auto midnight = midnightBy(*calendar, rules.order);
        if (!midnight) return;
        instant = *midnight + calendar->timeOfDay();
        const bool isZoned = calendar->zone_min.has_value() || rules.zone.has_value();
        hasZone |= isZoned;
        lacksZone |= !isZoned;
        if (calendar->zone_min)
            instant = *instant - std::chrono::minutes{*calendar->zone_min};
        else if (rules.zone)
            instant = rules.zone->toUtc(*instant);
    }
    holds = Holds::Calendars;
    place(row, static_cast<double>(instant->count()));
}

std::optional<Micros> Column::midnightBy(const text::CalendarText& calendar, text::DateOrder order) {
    const auto dayFirst = text::midnightOf(calendar, text::DateOrder::DayFirst);
    const auto monthFirst = text::midnightOf(calendar, text::DateOrder::MonthFirst);
    if (calendar.date == text::CalendarText::Date::TwoNumbersThenYear && !calendar.hasPoints) {
        isOrderOpen = true;
        onlyDayFirst += dayFirst && !monthFirst;
        onlyMonthFirst += monthFirst && !dayFirst;
    }
    const auto& asked = order == text::DateOrder::DayFirst ? dayFirst : monthFirst;
    return asked ? asked : dayFirst ? dayFirst : monthFirst;
}

std::size_t Column::validRates() const {
    if (holds != Holds::Numbers) return 0;
    return static_cast<std::size_t>(std::ranges::count_if(values, isValidHeartRate));
}

bool Column::ascends() const {
    std::size_t up = 0, down = 0;
    double before = none;
    for (const double value : values) {
        if (std::isnan(value)) continue;
        up += value > before;
        down += value < before;
        before = value;
    }
    return up > 0 && down * 20 <= up;
}

TimeScale timeScaleOf(const Column& column) {
    if (column.holds == Column::Holds::Calendars) {
        if (column.isClock) return {1.0, true, ClockBasis::None, "clock without a date"};
        if (column.lacksZone) return {1.0, false, ClockBasis::ZoneUnknown, "date and time without a zone"};
        return {1.0, false, ClockBasis::Utc, "date and time with a zone"};
    }
    const std::vector<double> values = sampled(column);
    const bool isFine = column.meaning.timeUnit == text::TimeUnit::Minutes ||
                        column.meaning.timeUnit == text::TimeUnit::Hours;
    if (const auto epoch = epochScale(values); epoch && !isFine) return *epoch;
    return elapsedScale(values, column.meaning.timeUnit);
}

std::optional<Micros> instantOf(double value, const TimeScale& scale) {
    const double micros = value * scale.toMicros;
    if (scale.isElapsed ? !(std::abs(micros) <= longestElapsed_us) : !isInstant(micros)) return std::nullopt;
    return Micros{std::llround(micros)};
}

}  // namespace beatwitness::recording::json
