#include "core/recording/json_choice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/foundation/text.h"
#include "core/recording/heart_rate_range.h"
#include "core/recording/rr_columns.h"

namespace beatwitness::recording::json {
namespace {

using text::Role;

/// A lone list of fewer numbers could be anything.
constexpr std::size_t leastLoneBeats = 5;

bool sameIgnoringCase(std::string_view a, std::string_view b) {
    const auto lower = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; };
    return std::ranges::equal(a, b, {}, lower, lower);
}

bool isNamed(const Column& column, const std::optional<std::string>& name) {
    return name && sameIgnoringCase(column.name, *name);
}

/// How good the times of a column are: dates and epochs before elapsed ones, beginnings before ends.
int timeMerit(const Column& column) {
    const TimeScale scale = timeScaleOf(column);
    return (scale.clock == ClockBasis::Utc           ? 4
            : scale.clock == ClockBasis::ZoneUnknown ? 2
                                                     : 0) +
           (column.meaning.saysEnd ? 0 : 1);
}

std::optional<std::size_t> timeColumn(const Table& table, const ReadOptions& options) {
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        const Column& column = table.columns[i];
        if (column.values.empty()) continue;
        if (options.timeColumn) {
            if (isNamed(column, options.timeColumn)) return i;
            continue;
        }
        const bool mayBe = table.shape == Table::Shape::Pairs
                               ? column.holds == Column::Holds::Calendars || column.ascends()
                               : column.meaning.role == Role::Time;
        if (!mayBe) continue;
        if (!best || timeMerit(column) > timeMerit(table.columns[*best])) best = i;
    }
    return best;
}

std::size_t usableRows(const Table& table, std::size_t time, std::size_t rate) {
    const TimeScale scale = timeScaleOf(table.columns[time]);
    std::size_t usable = 0;
    for (std::size_t row = 0; row < table.rows; ++row)
        usable += isValidHeartRate(table.columns[rate].at(row)) &&
                  instantOf(table.columns[time].at(row), scale).has_value();
    return usable;
}

bool mayBeRates(const Table& table, const Column& column, bool valuesToo) {
    if (column.holds != Column::Holds::Numbers) return false;
    if (table.shape == Table::Shape::Pairs) return column.validRates() * 10 >= column.values.size() * 5;
    if (valuesToo) return column.meaning.role == Role::Value;
    return column.meaning.channel == ChannelKind::HeartRate;
}

std::optional<Choice> choiceIn(const Tables& tables, std::size_t index, const ReadOptions& options) {
    const Table& table = tables.tables[index];
    const auto time = timeColumn(table, options);
    if (!time) return std::nullopt;
    std::optional<Choice> best;
    for (const bool valuesToo : {false, true}) {
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            const Column& column = table.columns[i];
            const bool isWanted = options.rateColumn ? isNamed(column, options.rateColumn) &&
                                                           column.holds == Column::Holds::Numbers
                                                     : mayBeRates(table, column, valuesToo);
            if (i == *time || !isWanted) continue;
            const std::size_t usable = usableRows(table, *time, i);
            if (!best || usable > best->usable) best = Choice{index, *time, i, usable};
        }
        if (best) return best;
    }
    return best;
}

/// Milliseconds a unit, by the median of the positive numbers.
std::optional<double> intervalScale(const Column& column) {
    if (column.holds != Column::Holds::Numbers) return std::nullopt;
    std::vector<double> positive;
    for (const double value : column.values)
        if (value > 0.0) positive.push_back(value);
    if (positive.empty()) return std::nullopt;
    const auto middle = positive.begin() + static_cast<std::ptrdiff_t>(positive.size() / 2);
    std::ranges::nth_element(positive, middle);
    return rr::millisecondsBy(*middle);
}

bool mayBeIntervals(const Table& table, const Column& column, const ReadOptions& options) {
    if (options.rateColumn) return isNamed(column, options.rateColumn);
    // Numbers that only rise are counted or measured along, no beats.
    const bool isLone = table.shape == Table::Shape::Parallel && column.name.empty() &&
                        column.values.size() >= leastLoneBeats && !column.ascends();
    return isLone || column.meaning.channel == ChannelKind::BeatInterval;
}

}  // namespace

std::optional<Choice> bestChoice(const Tables& tables, const ReadOptions& options) {
    std::optional<Choice> best;
    for (std::size_t i = 0; i < tables.tables.size(); ++i)
        if (const auto choice = choiceIn(tables, i, options);
            choice && (!best || choice->usable > best->usable))
            best = choice;
    return best;
}

std::optional<BeatChoice> bestBeats(const Tables& tables, const ReadOptions& options) {
    std::optional<BeatChoice> best;
    std::size_t longest = 0;
    for (std::size_t i = 0; i < tables.tables.size(); ++i) {
        const Table& table = tables.tables[i];
        for (std::size_t k = 0; k < table.columns.size(); ++k) {
            const Column& column = table.columns[k];
            if (column.values.size() <= longest || !mayBeIntervals(table, column, options)) continue;
            const auto scale = intervalScale(column);
            if (!scale) continue;
            longest = column.values.size();
            best = BeatChoice{i, k, timeColumn(table, options), *scale};
        }
    }
    return best;
}

Fault noList(const Tables& tables, const ReadOptions& options) {
    if (tables.damagedByte)
        return {FaultCode::Damaged,
                "the JSON breaks off or is damaged before any time and heart rate; it was read up to here",
                {},
                tables.damagedByte,
                {}};
    if (options.timeColumn || options.rateColumn)
        return {FaultCode::WrongUsage,
                fmt::format("no list in the JSON has a time and a rate under the keys asked for (\"{}\")",
                            printable(options.rateColumn.value_or(options.timeColumn.value_or("")))),
                {},
                {},
                {}};
    const auto holdsRate = [](const Table& table) {
        return table.shape != Table::Shape::Pairs &&
               std::ranges::any_of(table.columns, [](const Column& column) {
                   return column.meaning.channel == ChannelKind::HeartRate;
               });
    };
    if (std::ranges::any_of(tables.tables, holdsRate))
        return {
            FaultCode::NoTimeColumn,
            "the JSON holds heart rates without times; a key such as \"time\" or \"timestamp\" was expected "
            "beside them",
            {},
            {},
            {}};
    return {FaultCode::UnknownFormat,
            "the JSON holds no list of times and heart rates; objects with keys such as \"time\" and \"hr\", "
            "pairs of a time and a rate, or lists side by side were expected",
            {},
            {},
            {}};
}

}  // namespace beatwitness::recording::json
