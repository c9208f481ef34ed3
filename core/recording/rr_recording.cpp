#include "core/recording/rr_recording.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/foundation/text.h"
#include "core/recording/beats.h"
#include "core/recording/heart_rate_range.h"
#include "core/recording/rr_layout.h"
#include "core/recording/text_encoding.h"
#include "core/recording/text_numbers.h"
#include "core/recording/text_order.h"
#include "core/recording/text_recording.h"

namespace beatwitness::recording {
namespace {

using rr::RrLayout;

constexpr std::size_t rowsBetweenReports = 65'536;
/// Longer is no interval of beats but a hole or a slip of the pen, in ms.
constexpr double longestInterval_ms = 600'000.0;
/// Steps of times that differ from the interval by no more than this follow one another, in ms and share.
constexpr double slack_ms = 20.0, slackShare = 0.02;
/// Refined times stay this close to the column's, in microseconds.
constexpr Micros longestDrift{1'500'000};

struct Tally {
    std::size_t count = 0, firstLine = 0;
    std::string cell;

    void add(std::size_t line, std::string_view text) {
        if (count++ > 0) return;
        firstLine = line;
        cell = printable(text);
    }
};

bool isArtefactLabel(std::string_view label) {
    return label == "X" || label == "x" || label == "|" || label == "~" || label == "artefact" ||
           label == "artifact" || label == "noise";
}

/// Reads the rows as the layout says.
class RrRows {
public:
    RrRows(std::string_view text, RrLayout layout)
        : text_(text), layout_(std::move(layout)), times_(layout_.time, layout_.start, layout_.zone) {}

    Result<Recording> read(const RunControl& run) {
        const auto& dialect = layout_.dialect;
        text::RowScanner scanner{text_, dialect.separator, std::max<std::size_t>(dialect.columns, 1) + 1,
                                 dialect.dataBegin, dialect.dataLine};
        text::Row row;
        std::size_t number = 0;
        while (scanner.next(row)) {
            if (++number % rowsBetweenReports == 0) {
                if (run.stopRequested()) return cancelled();
                run.progress(static_cast<double>(scanner.offset()) / static_cast<double>(text_.size()));
            }
            if (number <= layout_.rowsToSkip || text_[row.begin] == '#') continue;
            if (beats_.size() >= mostBeats) {
                cutLine_ = row.line;
                break;
            }
            layout_.dialect.joinDateAndClock(row);
            take(row);
        }
        if (beats_.empty())
            return Fault{FaultCode::UnknownFormat,
                         "no beat interval could be read; intervals in milliseconds or seconds, or times of "
                         "beats, were expected",
                         {},
                         {},
                         dialect.dataLine};
        return finished();
    }

private:
    void take(const text::Row& row) {
        if (!layout_.intervals)
            takeBeatTime(row);
        else if (layout_.time.kind == text::TimeKind::None || layout_.isCounted)
            takeBare(row);
        else
            takeTimed(row);
    }

    /// The interval of a row, in ms. What is no positive number is told of and has none.
    std::optional<double> interval(const text::Row& row) {
        const std::string_view cell = row.field(*layout_.intervals);
        const auto number = text::parseNumber(cell, layout_.dialect.decimalMark);
        const double value_ms = number.value_or(0.0) * layout_.toMilliseconds;
        if (value_ms > 0.0 && value_ms <= longestInterval_ms) return value_ms;
        noInterval_.add(row.line, cell);
        return std::nullopt;
    }

    /// The file's own label calls the beat an artefact.
    [[nodiscard]] bool isMarked(const text::Row& row) const {
        return layout_.labels && isArtefactLabel(row.field(*layout_.labels));
    }

    void takeBare(const text::Row& row) {
        const auto value_ms = interval(row);
        if (!value_ms) return;
        sum_ms_ += *value_ms;
        ++rows_;
        beats_.add(RecordingTime{layout_.start.value_or(Micros{0}) + toMicros(Seconds{sum_ms_ / 1000.0})},
                   *value_ms, isMarked(row));
    }

    void takeTimed(const text::Row& row) {
        const auto time = times_.read(row);
        if (!time) {
            noTime_.add(row.line, row.field(layout_.time.column));
            return;
        }
        ++rows_;
        if (const auto value_ms = interval(row)) beats_.add(*time, *value_ms, isMarked(row));
    }

    void takeBeatTime(const text::Row& row) {
        const auto time = times_.read(row);
        if (!time) {
            noTime_.add(row.line, row.field(layout_.time.column));
            return;
        }
        ++rows_;
        const bool marked = isMarked(row);
        if (lastBeat_) {
            const double value_ms = toSeconds(*time - *lastBeat_).value * 1000.0;
            if (value_ms > 0.0 && value_ms <= longestInterval_ms)
                beats_.add(*time, value_ms, marked || lastIsMarked_);
            else
                noInterval_.add(row.line, row.field(layout_.time.column));
        }
        lastBeat_ = *time;
        lastIsMarked_ = marked;
    }

    [[nodiscard]] double step_ms(std::size_t i) const {
        return toSeconds(beats_.times[i] - beats_.times[i - 1]).value * 1000.0;
    }
    [[nodiscard]] static bool follows(double step_ms, double interval_ms) {
        return std::abs(step_ms - interval_ms) <= slack_ms + slackShare * interval_ms;
    }

    /// Times of the opening beat become those of the closing one, where the intervals say that they are.
    void closeBeats() {
        std::size_t closing = 0, opening = 0;
        for (std::size_t i = 1; i < beats_.size(); ++i) {
            // Only exact fits tell: neighbouring intervals are much alike.
            closing += std::abs(step_ms(i) - beats_.intervals_ms[i]) <= 2.0;
            opening += std::abs(step_ms(i) - beats_.intervals_ms[i - 1]) <= 2.0;
        }
        if (opening * 2 < beats_.size() || opening <= 2 * closing) return;
        for (std::size_t i = 0; i < beats_.size(); ++i)
            beats_.times[i] += toMicros(Seconds{beats_.intervals_ms[i] / 1000.0});
        layout_.guessed.emplace_back("time of a row", "its opening beat; rates stand at the closing one");
    }

    /// Where several beats share a time, the intervals place them.
    void refineTimes() {
        bool repeats = false;
        for (std::size_t i = 1; i < beats_.size() && !repeats; ++i)
            repeats = beats_.times[i] == beats_.times[i - 1];
        if (!repeats) return;
        for (std::size_t i = 1; i < beats_.size(); ++i) {
            const RecordingTime chained =
                beats_.times[i - 1] + toMicros(Seconds{beats_.intervals_ms[i] / 1000.0});
            if (std::chrono::abs(chained - beats_.times[i]) <= longestDrift) beats_.times[i] = chained;
        }
        layout_.guessed.emplace_back("times between", "by the intervals, since several beats share a time");
    }

    void findRuns() {
        std::size_t runs = 1;
        for (std::size_t i = 1; i < beats_.size(); ++i) {
            beats_.beginsRun[i] = step_ms(i) < 0.0 || (step_ms(i) > beats_.intervals_ms[i] &&
                                                       !follows(step_ms(i), beats_.intervals_ms[i]));
            runs += beats_.beginsRun[i];
        }
        if (runs > 1)
            layout_.warnings.push_back(
                fmt::format("beats are missing in {} places, by the times beside the intervals", runs - 1));
    }

    static void tell(std::vector<std::string>& warnings, const Tally& tally, std::string_view what) {
        if (tally.count > 0)
            warnings.push_back(fmt::format("{} row{} {}: \"{}\" (first in line {})", tally.count,
                                           tally.count == 1 ? "" : "s", what, tally.cell, tally.firstLine));
    }

    Recording finished() {
        if (layout_.intervals && layout_.time.kind != text::TimeKind::None && !layout_.isCounted) {
            refineTimes();
            closeBeats();
            const bool isWhole = layout_.time.fractionDigits == 0;
            if (!isWhole) findRuns();
        }
        Recording recording;
        recording.format = Format::Rr;
        recording.clock = layout_.clock;
        recording.rows = rows_;
        recording.guessed = std::move(layout_.guessed);
        recording.warnings = std::move(layout_.warnings);
        tell(recording.warnings, noTime_, "without a time that can be read left out");
        tell(recording.warnings, noInterval_, "without a beat interval that can be read");
        if (cutLine_)
            recording.warnings.push_back(
                fmt::format("only the first {} beats were read; line {} and what follows was left out",
                            mostBeats, *cutLine_));
        addBeats(recording, std::move(beats_));
        return recording;
    }

    std::string_view text_;
    RrLayout layout_;
    text::TimeReader times_;
    Beats beats_;
    double sum_ms_ = 0.0;
    std::size_t rows_ = 0;
    std::optional<RecordingTime> lastBeat_;
    bool lastIsMarked_ = false;
    Tally noTime_, noInterval_;
    std::optional<std::size_t> cutLine_;
};

void settleOrder(RrLayout& layout, std::string_view text) {
    if (!layout.time.isOrderOpen) return;
    const text::OrderVerdict verdict = text::dateOrderOf(text, layout.dialect, layout.time);
    layout.time.order = verdict.order;
    layout.guessed.emplace_back(
        "date order", verdict.order == text::DateOrder::DayFirst ? "day/month/year" : "month/day/year");
    if (!verdict.warning.empty()) layout.warnings.push_back(verdict.warning);
}

bool holdsRates(const Recording& recording) {
    const Channel* rates = recording.channel(ChannelKind::HeartRate);
    return rates != nullptr && std::ranges::any_of(rates->values, isValidHeartRate);
}

/// Cadence and the like that stand in the same rows.
void addOtherChannels(Recording& beats, Recording table) {
    for (Channel& channel : table.channels)
        if (beats.clock == table.clock && beats.channel(channel.kind) == nullptr)
            beats.channels.push_back(std::move(channel));
}

}  // namespace

Result<Recording> readRr(std::span<const std::byte> bytes, const ReadOptions& options,
                         const RunControl& run) {
    if (run.stopRequested()) return cancelled();
    const text::DecodedText decoded = text::decodeText(bytes);
    auto layout = rr::rrLayoutOf(decoded.view(), options);
    if (!layout) return layout.fault();
    settleOrder(*layout, decoded.view());
    auto recording = RrRows{decoded.view(), *std::move(layout)}.read(run);
    if (recording && decoded.isConverted) recording->guessed.emplace_back("encoding", decoded.encoding);
    return recording;
}

Result<Recording> readTableOrBeats(std::span<const std::byte> bytes, const ReadOptions& options,
                                   const RunControl& run) {
    auto table = readText(bytes, options, run);
    if (!table && table.fault().code == FaultCode::Cancelled) return table;
    const bool isOfBeats = !table || table->format == Format::Rr || table->channels.empty() ||
                           (options.rateColumn && !holdsRates(*table));
    if (!isOfBeats) return table;
    auto beats = readRr(bytes, options, run);
    if (!beats) return beats.fault().code == FaultCode::Cancelled ? beats : table;
    if (table && table->format == Format::Rr) addOtherChannels(*beats, *std::move(table));
    return beats;
}

}  // namespace beatwitness::recording
