#include "core/recording/text_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "core/foundation/text.h"
#include "core/recording/heart_rate_range.h"
#include "core/recording/text_columns.h"
#include "core/recording/text_numbers.h"
#include "core/recording/text_order.h"
#include "core/recording/text_start.h"

namespace beatwitness::recording::text {
namespace {

/// Below this share of rows of one width a text is no table.
constexpr double leastRegular = 0.5;

std::string columnList(const Dialect& dialect) {
    std::string list;
    const std::size_t shown = std::min<std::size_t>(dialect.columns, 20);
    for (std::size_t i = 0; i < shown; ++i)
        list += fmt::format("{}{}", i == 0 ? "" : ", ", dialect.columnText(i));
    return list + (shown < dialect.columns ? ", …" : "");
}

bool sameIgnoringCase(std::string_view a, std::string_view b) {
    const auto lower = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; };
    return std::ranges::equal(a, b, {}, lower, lower);
}

/// The column that an option names: by its word, its word in another case, or its 1-based number.
Result<std::size_t> namedColumn(const std::string& wanted, const Dialect& dialect) {
    const std::string_view name = trimmed(wanted);
    if (const auto found = std::ranges::find(dialect.header, name);
        found != dialect.header.end() && !name.empty())
        return static_cast<std::size_t>(found - dialect.header.begin());
    for (std::size_t i = 0; i < dialect.header.size(); ++i)
        if (!name.empty() && sameIgnoringCase(dialect.header[i], name)) return i;
    std::size_t number = 0;
    const auto [stop, error] = std::from_chars(name.data(), name.data() + name.size(), number);
    if (error == std::errc{} && stop == name.data() + name.size() && number >= 1 && number <= dialect.columns)
        return number - 1;
    return Fault{
        FaultCode::WrongUsage,
        fmt::format("there is no column \"{}\"; the table has {}", printable(wanted), columnList(dialect)),
        {},
        {},
        {}};
}

std::vector<ColumnMeaning> meaningsOf(const Dialect& dialect) {
    std::vector<ColumnMeaning> meanings(dialect.columns);
    for (std::size_t i = 0; i < dialect.header.size(); ++i)
        meanings[i] = meaningOf(dialect.header[i]);
    return meanings;
}

/// Shares of the sampled cells of a column.
struct ColumnShares {
    std::size_t filled = 0, numbers = 0, rates = 0, measures = 0, words = 0;
};

ColumnShares sharesOf(const Dialect& dialect, std::size_t column) {
    ColumnShares shares;
    for (const Row& row : dialect.sample) {
        const std::string_view cell = row.field(column);
        if (isMissingMark(cell)) continue;
        const auto number = parseNumber(cell, dialect.decimalMark);
        if (number && (*number == 0.0 || *number == 255.0)) continue;
        ++shares.filled;
        shares.numbers += number.has_value();
        shares.rates += number && isValidHeartRate(*number);
        if (number || kindOf(cell) != CellKind::Word) continue;
        ++shares.words;
        shares.measures += meaningOf(cell).channel.has_value();
    }
    return shares;
}

bool isTimeColumn(const TimeLayout& time, std::size_t column) {
    return column == time.column || (time.clockColumn && column == *time.clockColumn);
}

/// Without header words: the first column beside the times whose numbers are nearly all possible heart rates.
std::optional<std::size_t> columnOfRates(const Dialect& dialect, const TimeLayout& time) {
    for (std::size_t column = 0; column < dialect.columns; ++column) {
        if (isTimeColumn(time, column)) continue;
        const ColumnShares shares = sharesOf(dialect, column);
        if (shares.filled > 0 && shares.rates * 10 >= shares.filled * 8) return column;
    }
    return std::nullopt;
}

std::optional<std::size_t> valueColumn(const TablePlan& plan, const std::vector<ColumnMeaning>& meanings,
                                       std::size_t kindColumn) {
    for (std::size_t column = 0; column < meanings.size(); ++column)
        if (meanings[column].role == Role::Value) return column;
    // The nearest column of numbers, behind the kind first.
    for (std::size_t step = 1; step < meanings.size(); ++step) {
        const std::size_t column = (kindColumn + step) % meanings.size();
        const ColumnShares shares = sharesOf(plan.dialect, column);
        if (!isTimeColumn(plan.time, column) && shares.numbers * 10 >= shares.filled * 8 &&
            shares.numbers > 0)
            return column;
    }
    return std::nullopt;
}

std::optional<LongFormat> longFormatOf(const TablePlan& plan, const std::vector<ColumnMeaning>& meanings) {
    for (std::size_t column = 0; column < meanings.size(); ++column) {
        if (isTimeColumn(plan.time, column)) continue;
        const ColumnShares shares = sharesOf(plan.dialect, column);
        if (shares.measures == 0 || shares.words * 10 < shares.filled * 8) continue;
        if (const auto value = valueColumn(plan, meanings, column)) return LongFormat{column, *value};
    }
    return std::nullopt;
}

void takeMeasures(TablePlan& plan, const std::vector<ColumnMeaning>& meanings) {
    for (std::size_t column = 0; column < meanings.size(); ++column) {
        const ColumnMeaning& meaning = meanings[column];
        if (isTimeColumn(plan.time, column)) continue;
        if (meaning.role == Role::Lap && !plan.lapColumn) plan.lapColumn = column;
        if (!meaning.channel) continue;
        const bool isTaken = std::ranges::any_of(
            plan.measures, [&meaning](const MeasureColumn& other) { return other.kind == *meaning.channel; });
        if (!isTaken || *meaning.channel == ChannelKind::HeartRate)
            plan.measures.push_back({column, *meaning.channel, meaning.scale});
    }
}

bool holds(const TablePlan& plan, ChannelKind kind) {
    return std::ranges::find(plan.measures, kind, &MeasureColumn::kind) != plan.measures.end();
}

void guessRateColumn(TablePlan& plan) {
    const auto column = columnOfRates(plan.dialect, plan.time);
    if (!column) return;
    plan.measures.push_back({*column, ChannelKind::HeartRate, 1.0});
    plan.warnings.push_back(fmt::format(
        "the table has no header words; column {} was taken for the heart rate by its values", *column + 1));
}

std::optional<Fault> settleMeasures(TablePlan& plan, const std::vector<ColumnMeaning>& meanings,
                                    const ReadOptions& options) {
    takeMeasures(plan, meanings);
    if (options.rateColumn) {
        const auto column = namedColumn(*options.rateColumn, plan.dialect);
        if (!column) return column.fault();
        std::erase_if(plan.measures, [&column](const MeasureColumn& measure) {
            return measure.kind == ChannelKind::HeartRate || measure.column == *column;
        });
        plan.measures.push_back({*column, ChannelKind::HeartRate, 1.0});
        return std::nullopt;
    }
    if (!holds(plan, ChannelKind::HeartRate)) plan.longFormat = longFormatOf(plan, meanings);
    if (plan.measures.empty() && !plan.longFormat && plan.dialect.header.empty()) guessRateColumn(plan);
    return std::nullopt;
}

Fault noTable(std::string_view text) {
    const std::string_view line = text.substr(0, std::min(text.size(), text.find_first_of("\r\n")));
    return Fault{
        FaultCode::UnknownFormat,
        fmt::format("the text is no table of a recording: rows with a time and a heart rate were expected, "
                    "found \"{}\"",
                    printable(trimmed(line))),
        {},
        {},
        1};
}

Fault noTimeColumn(const Dialect& dialect) {
    return Fault{
        FaultCode::NoTimeColumn,
        fmt::format(
            "no column holds times; a column such as \"timestamp\", \"time\" or \"elapsed\" was expected "
            "among {}",
            columnList(dialect)),
        {},
        {},
        dialect.headerLine.value_or(dialect.dataLine)};
}

bool mostRowsHoldValues(const Dialect& dialect) {
    const auto holdsValue = [](const Row& row) {
        return std::ranges::any_of(row.fields, [](std::string_view cell) {
            return kindOf(cell) == CellKind::Number || kindOf(cell) == CellKind::Calendar;
        });
    };
    return static_cast<std::size_t>(std::ranges::count_if(dialect.sample, holdsValue)) * 2 >
           dialect.sample.size();
}

std::optional<Fault> settleTime(TablePlan& plan, const std::vector<ColumnMeaning>& meanings,
                                const ReadOptions& options, std::string_view text) {
    const Dialect& dialect = plan.dialect;
    if (options.timeColumn) {
        const auto column = namedColumn(*options.timeColumn, dialect);
        if (!column) return column.fault();
        plan.time = timeLayoutOf(dialect, *column, meanings[*column]);
        if (plan.time.kind != TimeKind::None || completeWithClock(plan.time, dialect, meanings))
            return std::nullopt;
        return Fault{
            FaultCode::NoTimeColumn,
            fmt::format(
                "{} holds no times that can be read; dates with a clock, epochs or elapsed seconds were "
                "expected",
                dialect.columnText(*column)),
            {},
            {},
            dialect.dataLine};
    }
    plan.time = chooseTimeLayout(dialect, meanings);
    if (plan.time.kind != TimeKind::None) return std::nullopt;
    const bool hasWords =
        std::ranges::any_of(meanings, [](const ColumnMeaning& m) { return m.role != Role::None; });
    const bool isTable = (dialect.columns > 1 || hasWords) && dialect.regularity >= leastRegular &&
                         mostRowsHoldValues(dialect);
    return isTable ? noTimeColumn(dialect) : noTable(text);
}

void settleClock(TablePlan& plan) {
    const bool hasZone = plan.zone.has_value();
    const PreambleStart start = preambleStart(plan.dialect.preamble, plan.zone);
    switch (plan.time.kind) {
        case TimeKind::Epoch:
        case TimeKind::Instant:
        case TimeKind::None:
            plan.clock = ClockBasis::Utc;
            return;
        case TimeKind::DateTime:
            plan.clock = plan.time.isUtc || hasZone ? ClockBasis::Utc : ClockBasis::ZoneUnknown;
            return;
        case TimeKind::Elapsed:
            plan.start = start.instant;
            break;
        case TimeKind::Clock:
            plan.start = plan.time.clockIsMinutes ? start.instant : start.midnight;
            break;
    }
    plan.clock = !plan.start ? ClockBasis::None : start.isZoned ? ClockBasis::Utc : ClockBasis::ZoneUnknown;
}

void settleOrder(TablePlan& plan, std::string_view text) {
    if (!plan.time.isOrderOpen) return;
    const OrderVerdict verdict = dateOrderOf(text, plan.dialect, plan.time);
    plan.time.order = verdict.order;
    plan.guessed.emplace_back("date order",
                              verdict.order == DateOrder::DayFirst ? "day/month/year" : "month/day/year");
    if (!verdict.warning.empty()) plan.warnings.push_back(verdict.warning);
}

void noteLayout(TablePlan& plan, const ReadOptions& options) {
    const Dialect& dialect = plan.dialect;
    if (!options.separator && dialect.columns > 1)
        plan.guessed.emplace_back("separator", separatorName(dialect.separator));
    plan.guessed.emplace_back("decimal mark", dialect.decimalMark == ',' ? "comma" : "point");
    plan.guessed.emplace_back("header",
                              dialect.headerLine ? fmt::format("line {}", *dialect.headerLine) : "none");
    if (!options.timeColumn) {
        std::string columns = dialect.columnText(plan.time.column);
        if (plan.time.clockColumn)
            columns += fmt::format(" with {}", dialect.columnText(*plan.time.clockColumn));
        plan.guessed.emplace_back("time column", columns);
    }
    plan.guessed.emplace_back("time kind", plan.time.text());
    if (plan.longFormat)
        plan.guessed.emplace_back("layout", fmt::format("one measurement a line, kind in {}, value in {}",
                                                        dialect.columnText(plan.longFormat->kindColumn),
                                                        dialect.columnText(plan.longFormat->valueColumn)));
}

void noteClock(TablePlan& plan) {
    if (plan.clock == ClockBasis::ZoneUnknown) {
        plan.guessed.emplace_back("zone", "unknown, laid on UTC");
        plan.warnings.emplace_back(
            "the times name no zone; they were laid on UTC provisionally (--zone says otherwise)");
    }
    if (plan.clock == ClockBasis::None && plan.time.kind == TimeKind::Clock && !plan.time.clockIsMinutes)
        plan.warnings.emplace_back(
            "the times are clocks without a date; they count from midnight of an unknown day");
}

std::string deviceOf(const Dialect& dialect) {
    for (const auto& [key, value] : dialect.preamble)
        if (key == "device" || key == "device name" || key == "sensor") return value;
    return {};
}

}  // namespace

Result<TablePlan> planTable(std::string_view text, const ReadOptions& options) {
    TablePlan plan;
    auto zone = zoneAsked(options.zone);
    if (!zone) return zone.fault();
    plan.zone = *std::move(zone);
    plan.dialect = sniffDialect(text, options.separator);
    if (plan.dialect.columns == 0) return noTable(text);
    const std::vector<ColumnMeaning> meanings = meaningsOf(plan.dialect);
    if (auto fault = settleTime(plan, meanings, options, text)) return *std::move(fault);
    if (auto fault = settleMeasures(plan, meanings, options)) return *std::move(fault);
    if (plan.measures.empty() && !plan.longFormat && plan.dialect.header.empty()) return noTable(text);
    noteLayout(plan, options);
    settleOrder(plan, text);
    settleClock(plan);
    noteClock(plan);
    plan.device = deviceOf(plan.dialect);
    return plan;
}

}  // namespace beatwitness::recording::text
