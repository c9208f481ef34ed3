#include "core/recording/text_collector.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "core/foundation/text.h"
#include "core/recording/heart_rate_range.h"
#include "core/recording/large_pages.h"
#include "core/recording/text_columns.h"
#include "core/recording/text_numbers.h"
#include "core/recording/value_budget.h"

namespace beatwitness::recording::text {
namespace {

constexpr std::size_t rowsBetweenReports = 65'536;
constexpr std::size_t mostLaps = 100'000;

/// How often something happened, and where first.
struct Tally {
    std::size_t count = 0;
    std::size_t firstLine = 0;

    void add(std::size_t line) {
        if (count++ == 0) firstLine = line;
    }
};

/// A channel while it is filled.
struct Filling {
    MeasureColumn column;
    Channel channel;
    std::size_t valid = 0;
    Tally unreadable, backwards, repeated;
    std::string unreadableCell;
};

/// 0 and 255 are what devices write where they had no heart rate.
bool isRateSentinel(double value) {
    return value == 0.0 || value == 255.0;
}

class Collector {
public:
    Collector(std::string_view text, TablePlan plan)
        : text_(text),
          plan_(std::move(plan)),
          times_(plan_.time, plan_.start, plan_.zone),
          scanner_(text, plan_.dialect.separator, keptFields(), plan_.dialect.dataBegin,
                   plan_.dialect.dataLine) {
        for (const MeasureColumn& column : plan_.measures)
            addFilling(column);
    }

    Result<Recording> collect(const RunControl& run) {
        Row row;
        std::size_t untilReport = rowsBetweenReports;
        while (scanner_.next(row)) {
            addRow(row);
            if (--untilReport > 0) continue;
            untilReport = rowsBetweenReports;
            if (run.stopRequested()) return cancelled();
            run.progress(static_cast<double>(scanner_.offset()) / static_cast<double>(text_.size()));
        }
        if (rows_ == 0 && noTime_.count > 0) return noTimes();
        run.progress(1.0);
        return finished();
    }

private:
    [[nodiscard]] std::size_t keptFields() const {
        std::size_t last = std::max(plan_.time.column, plan_.time.clockColumn.value_or(0));
        for (const MeasureColumn& measure : plan_.measures)
            last = std::max(last, measure.column);
        last = std::max(last, plan_.lapColumn.value_or(0));
        if (plan_.longFormat)
            last = std::max({last, plan_.longFormat->kindColumn, plan_.longFormat->valueColumn});
        return last + (plan_.dialect.dateBeforeClock ? 2 : 1);
    }

    Filling& addFilling(const MeasureColumn& column) {
        Filling& filling = fillings_.emplace_back();
        filling.column = column;
        filling.channel.kind = column.kind;
        return filling;
    }

    void addRow(Row& row) {
        if (text_[row.begin] == '#') return;
        plan_.dialect.joinDateAndClock(row);
        const auto time = times_.read(row);
        if (!time) {
            noTime_.add(row.line);
            if (noTime_.count == 1) noTimeCell_ = printable(row.field(plan_.time.column));
            return;
        }
        if (row.fieldCount != plan_.dialect.columns) noteWidth(row);
        ++rows_;
        if (plan_.longFormat) {
            addMeasurement(row, *time);
            return;
        }
        for (Filling& filling : fillings_)
            addValue(filling, row.field(filling.column.column), *time, row.line);
        if (plan_.lapColumn) addLap(row.field(*plan_.lapColumn), *time);
    }

    void noteWidth(const Row& row) {
        // A separator at the end of each line is a habit of some writers, no damage.
        const bool isTrailing = row.fieldCount == plan_.dialect.columns + 1 && row.end > 0 &&
                                text_[row.end - 1] == plan_.dialect.separator.mark;
        if (!isTrailing) ragged_.add(row.line);
    }

    void addValue(Filling& filling, std::string_view cell, RecordingTime time, std::size_t line) {
        if (cell.empty()) return;
        const auto value = parseNumber(cell, plan_.dialect.decimalMark);
        if (!value) {
            if (isMissingMark(cell)) return;
            filling.unreadable.add(line);
            if (filling.unreadable.count == 1) filling.unreadableCell = printable(cell);
            return;
        }
        const bool isRate = filling.column.kind == ChannelKind::HeartRate;
        if (isRate && isRateSentinel(*value)) return;
        if (left_ == 0) {
            leftOut_.add(line);
            return;
        }
        --left_;
        if (!filling.channel.times.empty()) {
            const RecordingTime before = filling.channel.times.back();
            if (time < before) filling.backwards.add(line);
            if (time == before) filling.repeated.add(line);
        } else {
            reserve(filling.channel);
        }
        filling.valid += isRate && isValidHeartRate(*value);
        filling.channel.times.push_back(time);
        filling.channel.values.push_back(*value * filling.column.scale);
    }

    /// Room for the rows that are left, by the width of the sampled ones.
    void reserve(Channel& channel) const {
        const auto& sample = plan_.dialect.sample;
        if (sample.size() < 2 || plan_.longFormat) return;
        const double width = static_cast<double>(sample.back().end + 1 - sample.front().begin) /
                             static_cast<double>(sample.size());
        const auto rows = static_cast<std::size_t>(
            static_cast<double>(text_.size() - plan_.dialect.dataBegin) / width * 1.02);
        channel.times.reserve(rows + 1);
        channel.values.reserve(rows + 1);
        backByLargePages(channel.times);
        backByLargePages(channel.values);
    }

    void addMeasurement(const Row& row, RecordingTime time) {
        const std::string_view kind = row.field(plan_.longFormat->kindColumn);
        auto known = kinds_.find(kind);
        if (known == kinds_.end()) {
            // A column of a thousand kinds is none: do not keep them all.
            if (kinds_.size() >= 1000) return;
            known = kinds_.emplace(std::string{kind}, fillingOf(kind)).first;
        }
        if (!known->second) return;
        Filling& filling = fillings_[*known->second];
        rateRows_ += filling.column.kind == ChannelKind::HeartRate;
        addValue(filling, row.field(plan_.longFormat->valueColumn), time, row.line);
    }

    std::optional<std::size_t> fillingOf(std::string_view kind) {
        const ColumnMeaning meaning = meaningOf(kind);
        if (!meaning.channel) return std::nullopt;
        for (std::size_t i = 0; i < fillings_.size(); ++i)
            if (fillings_[i].column.kind == *meaning.channel) return i;
        addFilling({plan_.longFormat->valueColumn, *meaning.channel, meaning.scale});
        return fillings_.size() - 1;
    }

    void addLap(std::string_view cell, RecordingTime time) {
        if (isMissingMark(cell) || laps_.size() >= mostLaps) return;
        if (laps_.empty() || cell != lapCell_) {
            if (!laps_.empty()) laps_.back().span.end = std::max(laps_.back().span.begin, time);
            laps_.push_back({{time, time}, fmt::format("lap {}", printable(cell))});
            lapCell_ = cell;
        }
        laps_.back().span.end = std::max(laps_.back().span.end, time);
    }

    [[nodiscard]] Fault noTimes() const {
        return Fault{FaultCode::NoTimeColumn,
                     fmt::format("no row has a time that can be read: {} was expected in {}, found \"{}\"",
                                 plan_.time.text(), plan_.dialect.columnText(plan_.time.column), noTimeCell_),
                     {},
                     {},
                     noTime_.firstLine};
    }

    Recording finished() {
        Recording recording;
        recording.format = Format::Csv;
        recording.device = plan_.device;
        recording.clock = plan_.clock;
        recording.guessed = std::move(plan_.guessed);
        recording.warnings = std::move(plan_.warnings);
        recording.laps = std::move(laps_);
        recording.rows = plan_.longFormat && rateRows_ > 0 ? rateRows_ : rows_;
        keepOneRate(recording);
        warn(recording);
        for (Filling& filling : fillings_)
            if (!filling.channel.values.empty()) recording.channels.push_back(std::move(filling.channel));
        markIntervals(recording);
        return recording;
    }

    /// Of several columns of heart rate the one with most valid values stays, of equals the first.
    void keepOneRate(Recording& recording) {
        std::vector<std::size_t> rates;
        for (std::size_t i = 0; i < fillings_.size(); ++i)
            if (fillings_[i].column.kind == ChannelKind::HeartRate) rates.push_back(i);
        if (rates.empty()) return;
        const std::size_t best =
            *std::ranges::max_element(rates, {}, [this](std::size_t i) { return fillings_[i].valid; });
        const std::string chosen = plan_.dialect.columnText(fillings_[best].column.column);
        if (!plan_.longFormat) recording.guessed.emplace_back("rate column", chosen);
        if (rates.size() > 1)
            recording.warnings.push_back(
                fmt::format("{} columns hold heart rates; {} was taken, which has most valid values ({})",
                            rates.size(), chosen, fillings_[best].valid));
        std::size_t at = 0;
        std::erase_if(fillings_, [&](const Filling& filling) {
            const bool isOther = filling.column.kind == ChannelKind::HeartRate && at != best;
            ++at;
            return isOther;
        });
    }

    void warn(Recording& recording) const {
        auto& warnings = recording.warnings;
        const auto tell = [&warnings](const Tally& tally, std::string_view what) {
            if (tally.count > 0)
                warnings.push_back(fmt::format("{} row{} {} (first in line {})", tally.count,
                                               tally.count == 1 ? "" : "s", what, tally.firstLine));
        };
        tell(noTime_, fmt::format("without a time that can be read left out: \"{}\"", noTimeCell_));
        if (leftOut_.count > 0)
            warnings.push_back(fmt::format(
                "the file holds more values than can be kept; those from line {} on were left out",
                leftOut_.firstLine));
        tell(ragged_,
             fmt::format("with another number of fields than the {} of the table", plan_.dialect.columns));
        if (const auto line = scanner_.unclosedQuoteLine())
            warnings.push_back(fmt::format(
                "a quote opened in line {} is never closed; it was taken for a plain character", *line));
        for (const Filling& filling : fillings_)
            tell(filling.unreadable,
                 fmt::format("with a {} that is no number, such as \"{}\", counted as missing",
                             channelName(filling.column.kind), filling.unreadableCell));
        const auto leading = std::ranges::find(fillings_, ChannelKind::HeartRate,
                                               [](const Filling& f) { return f.column.kind; });
        const auto& ordered = leading != fillings_.end() ? leading : fillings_.begin();
        if (ordered != fillings_.end()) {
            tell(ordered->backwards, "going back in time");
            tell(ordered->repeated, "repeating the time of the row before");
        }
        if (rows_ == 0) warnings.emplace_back("the table has a header but no rows");
    }

    /// A table of beat intervals is told apart from one of heart rates by its format.
    void markIntervals(Recording& recording) const {
        const Channel* intervals = recording.channel(ChannelKind::BeatInterval);
        if (intervals != nullptr && recording.channel(ChannelKind::HeartRate) == nullptr && !plan_.longFormat)
            recording.format = Format::Rr;
    }

    std::string_view text_;
    TablePlan plan_;
    TimeReader times_;
    RowScanner scanner_;
    std::vector<Filling> fillings_;
    std::map<std::string, std::optional<std::size_t>, std::less<>> kinds_;
    std::vector<Lap> laps_;
    std::string_view lapCell_;
    std::size_t rows_ = 0;
    std::size_t rateRows_ = 0;
    Tally noTime_, ragged_, leftOut_;
    std::size_t left_ = mostValues(text_.size());  ///< values that may still be kept
    std::string noTimeCell_;
};

}  // namespace

Result<Recording> collectRows(std::string_view text, TablePlan plan, const RunControl& run) {
    return Collector{text, std::move(plan)}.collect(run);
}

}  // namespace beatwitness::recording::text
