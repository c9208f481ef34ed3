#include "core/recording/rr_layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "core/foundation/text.h"
#include "core/recording/rr_columns.h"
#include "core/recording/rr_notes.h"
#include "core/recording/text_columns.h"
#include "core/recording/text_numbers.h"
#include "core/recording/text_start.h"
#include "core/recording/text_words.h"

namespace beatwitness::recording::rr {
namespace {

using text::ColumnMeaning;
using text::Dialect;
using text::Role;
using text::TimeKind;
using text::TimeUnit;

constexpr double earliestEpoch_s = 315'532'800.0, latestEpoch_s = 4'133'980'800.0;
/// Rows at the top that may be something else than the rest.
constexpr std::size_t rowsOfHead = 1;

bool saysInterval(std::string_view header, const ColumnMeaning& meaning) {
    if (meaning.channel == ChannelKind::BeatInterval) return true;
    const std::string word = text::lowered(header);
    return !meaning.channel && word.find("interval") != std::string::npos &&
           word.find("breath") == std::string::npos && word.find("sampl") == std::string::npos;
}

std::string shown(double number) {
    return fmt::format("{:.6g}", number);
}

Fault noBeats(std::string_view found) {
    return Fault{
        FaultCode::UnknownFormat,
        fmt::format("the text holds no beats that can be read: intervals with a median of 250 to 2500 "
                    "ms or 0.25 to 2.5 s, or ascending times of beats, were expected{}",
                    found),
        {},
        {},
        1};
}

class Planner {
public:
    Planner(std::string_view text, const ReadOptions& options) : text_(text), options_(options) {}

    Result<RrLayout> plan() {
        auto zone = text::zoneAsked(options_.zone);
        if (!zone) return zone.fault();
        layout_.zone = *std::move(zone);
        sniff();
        if (layout_.dialect.columns == 0 || layout_.dialect.sample.empty()) return noBeats("");
        for (std::size_t i = 0; i < layout_.dialect.columns; ++i)
            meanings_.push_back(i < layout_.dialect.header.size() ? text::meaningOf(layout_.dialect.header[i])
                                                                  : ColumnMeaning{});
        takeHead();
        for (std::size_t i = 0; i < std::min<std::size_t>(layout_.dialect.columns, 64); ++i)
            facts_.push_back(factsOf(layout_.dialect, i, layout_.rowsToSkip));
        if (auto fault = settleIntervals()) return *std::move(fault);
        if (layout_.intervals)
            if (auto fault = settleUnit()) return *std::move(fault);
        if (auto fault = settleTimes()) return *std::move(fault);
        settleClock();
        noteLayout(layout_, options_);
        return std::move(layout_);
    }

private:
    /// One column of "0,812" is no table of two: read again with a separator that no number holds.
    void sniff() {
        layout_.dialect = text::sniffDialect(text_, options_.separator);
        const Dialect& dialect = layout_.dialect;
        if (options_.separator || dialect.separator.mark != ',' || dialect.columns != 2) return;
        const auto isBrokenNumber = [](const text::Row& row) {
            const std::string_view whole = row.field(0), fraction = row.field(1);
            return whole.size() == 1 && whole[0] >= '0' && whole[0] <= '2' && !fraction.empty() &&
                   fraction.find_first_not_of("0123456789") == std::string_view::npos;
        };
        const auto broken = static_cast<std::size_t>(std::ranges::count_if(dialect.sample, isBrokenNumber));
        if (dialect.sample.size() < 3 || broken * 10 < dialect.sample.size() * 9) return;
        const ColumnFacts first = factsOf(dialect, 0, 0);
        if (first.counts()) return;
        layout_.dialect = text::sniffDialect(text_, ';');
    }

    /// Line 1 may be a start ("1560279825.000000, IBI") or the number of a subject.
    void takeHead() {
        const Dialect& dialect = layout_.dialect;
        if (!dialect.header.empty()) return;
        if (dialect.sample.size() <= rowsOfHead) return;
        const text::Row& first = dialect.sample.front();
        const auto number = text::parseNumber(first.field(0), dialect.decimalMark);
        const ColumnFacts rest = factsOf(dialect, 0, rowsOfHead);
        const bool isEpoch = number && *number >= earliestEpoch_s && *number < latestEpoch_s;
        const bool restIsSmall = rest.isNumeric() && medianOf(rest.values) < earliestEpoch_s / 100.0;
        const auto micros = text::parseScaled(first.field(0), dialect.decimalMark, 6);
        if (isEpoch && restIsSmall && micros) {
            headStart_ = Micros{*micros};
            layout_.rowsToSkip = rowsOfHead;
            if (first.field(1).size() > 1)
                layout_.guessed.emplace_back(
                    "line 1", fmt::format("start as an epoch, beside \"{}\"", printable(first.field(1))));
            else
                layout_.guessed.emplace_back("line 1", "start as an epoch");
            return;
        }
        if (dialect.columns != 1 || !number || dialect.sample.size() < 4) return;
        const double median = medianOf(rest.values);
        if (rest.isNumeric() && !rest.ascends() && millisecondsBy(median) &&
            (*number > 10.0 * median || *number < 0.1 * median)) {
            layout_.rowsToSkip = rowsOfHead;
            layout_.guessed.emplace_back(
                "line 1", fmt::format("no interval, left out: \"{}\"", printable(first.field(0))));
        }
    }

    /// The column that an option names, by its word or its number from 1.
    [[nodiscard]] Result<std::size_t> named(const std::string& wanted) const {
        const Dialect& dialect = layout_.dialect;
        const std::string name = text::lowered(text::trimmed(wanted));
        for (std::size_t i = 0; i < dialect.header.size(); ++i)
            if (!name.empty() && text::lowered(dialect.header[i]) == name) return i;
        std::size_t number = 0;
        const auto [stop, error] = std::from_chars(name.data(), name.data() + name.size(), number);
        if (error == std::errc{} && stop == name.data() + name.size() && number >= 1 &&
            number <= facts_.size())
            return number - 1;
        return Fault{FaultCode::WrongUsage,
                     fmt::format("there is no column \"{}\"; the table has {} column{}", printable(wanted),
                                 dialect.columns, dialect.columns == 1 ? "" : "s"),
                     {},
                     {},
                     {}};
    }

    [[nodiscard]] bool mayBeIntervals(std::size_t column) const {
        const ColumnFacts& facts = facts_[column];
        if (!facts.isNumeric() || facts.counts() || !millisecondsBy(medianOf(facts.values))) return false;
        // Numbers that all rise by what could be an interval are times of beats.
        const bool areTimes = facts.steps.size() >= 2 && facts.up == facts.steps.size() &&
                              millisecondsBy(medianOf(facts.steps)).has_value();
        return !areTimes && (facts.steps.size() < 8 || !facts.ascends());
    }

    std::optional<Fault> settleIntervals() {
        if (options_.rateColumn) {
            const auto column = named(*options_.rateColumn);
            if (!column) return column.fault();
            layout_.intervals = *column;
            return std::nullopt;
        }
        const auto& header = layout_.dialect.header;
        for (std::size_t i = 0; i < std::min(header.size(), facts_.size()); ++i)
            if (saysInterval(header[i], meanings_[i]) && facts_[i].isNumeric()) {
                layout_.intervals = i;
                return std::nullopt;
            }
        // Unknown words above several columns: any of them may be anything.
        if (!header.empty() && facts_.size() > 1) return std::nullopt;
        for (std::size_t i = 0; i < facts_.size(); ++i)
            // Alone in the table, "value" or "ms" may well stand above intervals.
            if ((meanings_[i].role == Role::None || (facts_.size() == 1 && !meanings_[i].channel)) &&
                mayBeIntervals(i)) {
                layout_.intervals = i;
                return std::nullopt;
            }
        return std::nullopt;
    }

    std::optional<Fault> settleUnit() {
        const std::size_t column = *layout_.intervals;
        std::vector<double> positive;
        std::ranges::copy_if(facts_[column].values, std::back_inserter(positive),
                             [](double value) { return value > 0.0; });
        const double median = medianOf(positive);
        const auto scale = millisecondsBy(median);
        if (!scale)
            return noBeats(fmt::format(", found a median of {} in {}", shown(median),
                                       layout_.dialect.columnText(column)));
        layout_.toMilliseconds = *scale;
        return std::nullopt;
    }

    /// Beat times stand alone or beside labels; what else ascends in a table is no beat.
    std::optional<Fault> settleBeatTimes() {
        std::optional<std::size_t> times;
        for (std::size_t i = 0; i < facts_.size(); ++i) {
            const bool isOption = options_.timeColumn && time_ == i;
            if (!times && (isOption || (!options_.timeColumn && facts_[i].ascends())))
                times = i;
            else if (!layout_.labels && facts_[i].isLabel())
                layout_.labels = i;
            else if (facts_[i].filled > 0 && !options_.timeColumn)
                return noBeats("");
        }
        if (!times) return noBeats("");
        layout_.time = text::timeLayoutOf(layout_.dialect, *times, meanings_[*times]);
        const ColumnFacts& facts = facts_[*times];
        double median = medianOf(facts.steps);
        const bool isEpoch = layout_.time.kind == TimeKind::Epoch;
        if (isEpoch) median *= std::pow(10.0, layout_.time.power - 6);
        const auto scale = millisecondsBy(median);
        const bool isWholeSeconds = facts.whole == facts.numbers && scale == 1000.0 && !isEpoch;
        if (!scale || facts.isEven() || isWholeSeconds || (isEpoch && *scale != 1000.0))
            return noBeats(fmt::format(", found times {} apart in {}", shown(median),
                                       layout_.dialect.columnText(*times)));
        if (!isEpoch) setElapsed(*scale == 1.0 ? 3 : 6);
        return std::nullopt;
    }

    void setElapsed(int power, double factor = 1.0) {
        layout_.time.kind = TimeKind::Elapsed;
        layout_.time.power = power;
        layout_.time.factor = factor;
    }

    std::optional<Fault> settleTimes() {
        if (options_.timeColumn) {
            const auto column = named(*options_.timeColumn);
            if (!column) return column.fault();
            time_ = *column;
        }
        if (!layout_.intervals) return settleBeatTimes();
        if (layout_.dialect.columns == 1) return std::nullopt;
        for (std::size_t i = 0; i < facts_.size() && !layout_.labels; ++i)
            if (i != *layout_.intervals && facts_[i].isLabel()) layout_.labels = i;
        meanings_[*layout_.intervals] = ColumnMeaning{};
        meanings_[*layout_.intervals].role = Role::Measure;
        if (time_) {
            layout_.time = text::timeLayoutOf(layout_.dialect, *time_, meanings_[*time_]);
            if (layout_.time.kind == TimeKind::None &&
                !text::completeWithClock(layout_.time, layout_.dialect, meanings_))
                return Fault{
                    FaultCode::NoTimeColumn,
                    fmt::format("{} holds no times that can be read", layout_.dialect.columnText(*time_)),
                    {},
                    {},
                    layout_.dialect.dataLine};
        } else {
            chooseTimes();
        }
        return settleElapsed();
    }

    void chooseTimes() {
        layout_.time = text::chooseTimeLayout(layout_.dialect, meanings_);
        if (layout_.time.kind != TimeKind::None) return;
        for (std::size_t i = 0; i < facts_.size(); ++i) {
            if (i == *layout_.intervals || !facts_[i].ascends() || meanings_[i].role == Role::Measure)
                continue;
            layout_.time = text::timeLayoutOf(layout_.dialect, i, meanings_[i]);
            if (layout_.time.kind != TimeKind::None) return;
        }
    }

    /// Elapsed numbers: their unit by the intervals beside them, or that they only count.
    std::optional<Fault> settleElapsed() {
        if (layout_.time.kind == TimeKind::Clock && layout_.time.clockIsMinutes) return std::nullopt;
        if (layout_.time.kind != TimeKind::Elapsed) return std::nullopt;
        const std::size_t column = layout_.time.column;
        if (column >= facts_.size()) return std::nullopt;
        const ColumnFacts& facts = facts_[column];
        std::vector<double> intervals_s;
        for (const double value : facts_[*layout_.intervals].values)
            intervals_s.push_back(value * layout_.toMilliseconds / 1000.0);
        if (facts.counts() && !options_.timeColumn) {
            layout_.isCounted = true;
            return std::nullopt;
        }
        if (meanings_[column].timeUnit != TimeUnit::Unsaid) return std::nullopt;
        const double interval_s = medianOf(intervals_s), step = medianOf(facts.steps);
        const double ratio = interval_s > 0.0 ? step / interval_s : 0.0;
        if (ratio > 0.3 && ratio < 30.0) setElapsed(6);
        if (ratio > 300.0 && ratio < 3.0e4) setElapsed(3);
        if (ratio > 3.0e5 && ratio < 3.0e7) setElapsed(0);
        if (ratio > 0.005 && ratio < 0.05) setElapsed(6, 60.0);
        return std::nullopt;
    }

    void settleClock() {
        const auto preamble = text::preambleStart(layout_.dialect.preamble, layout_.zone);
        const bool hasZone = layout_.zone.has_value();
        switch (layout_.time.kind) {
            case TimeKind::Epoch:
            case TimeKind::Instant:
                layout_.clock = ClockBasis::Utc;
                return;
            case TimeKind::DateTime:
                layout_.clock = layout_.time.isUtc || hasZone ? ClockBasis::Utc : ClockBasis::ZoneUnknown;
                return;
            case TimeKind::Clock:
                layout_.start = layout_.time.clockIsMinutes ? preamble.instant : preamble.midnight;
                break;
            case TimeKind::None:
            case TimeKind::Elapsed:
                layout_.start = headStart_ ? headStart_ : preamble.instant;
                break;
        }
        const bool isUtc = headStart_ ? true : preamble.isZoned;
        layout_.clock = !layout_.start ? ClockBasis::None : isUtc ? ClockBasis::Utc : ClockBasis::ZoneUnknown;
    }

    std::string_view text_;
    const ReadOptions& options_;
    RrLayout layout_;
    std::vector<ColumnMeaning> meanings_;
    std::vector<ColumnFacts> facts_;
    std::optional<std::size_t> time_;
    std::optional<Micros> headStart_;
};

}  // namespace

Result<RrLayout> rrLayoutOf(std::string_view text, const ReadOptions& options) {
    return Planner{text, options}.plan();
}

}  // namespace beatwitness::recording::rr
