#include "core/recording/json_beats.h"

#include <fmt/format.h>

#include "core/foundation/text.h"
#include "core/recording/beats.h"
#include "core/recording/text_start.h"

namespace beatwitness::recording::json {
namespace {

/// Longer is no interval of beats but a hole, in ms.
constexpr double longestInterval_ms = 600'000.0;
/// A step of the times that is this much longer than its interval leaves beats out.
constexpr double holeShare = 1.5, holeSlack_ms = 1000.0;

/// Adds the beats of the chosen columns; rows without an interval that can be read are left out.
class BeatRows {
public:
    BeatRows(const Table& table, const BeatChoice& choice, Micros start)
        : table_(table), choice_(choice), start_(start) {
        if (choice.time) scale_ = timeScaleOf(table.columns[*choice.time]);
    }

    Beats read(Recording& recording) {
        const Column& intervals = table_.columns[choice_.intervals];
        for (std::size_t row = 0; row < intervals.values.size() && beats_.size() < mostBeats; ++row) {
            const double value_ms = intervals.at(row) * choice_.toMilliseconds;
            if (!(value_ms > 0.0 && value_ms <= longestInterval_ms)) continue;
            if (!choice_.time)
                chain(value_ms);
            else if (const auto time = instantOf(table_.columns[*choice_.time].at(row), scale_))
                place(*time, value_ms);
        }
        recording.rows = beats_.size();
        return std::move(beats_);
    }

private:
    void chain(double value_ms) {
        sum_ms_ += value_ms;
        beats_.add(RecordingTime{start_ + toMicros(Seconds{sum_ms_ / 1000.0})}, value_ms);
    }
    void place(Micros time, double value_ms) {
        const RecordingTime at{start_ + time};
        const double step_ms = beats_.empty() ? 0.0 : toSeconds(at - beats_.times.back()).value * 1000.0;
        beats_.add(at, value_ms, false, step_ms > holeShare * value_ms + holeSlack_ms);
    }

    const Table& table_;
    const BeatChoice& choice_;
    Micros start_;
    TimeScale scale_;
    Beats beats_;
    double sum_ms_ = 0.0;
};

}  // namespace

Recording beatsOf(const Tables& tables, const BeatChoice& choice, const ReadOptions& options,
                  const std::optional<text::Zone>& zone) {
    const Table& table = tables.tables[choice.table];
    Recording recording;
    recording.format = Format::Json;
    recording.clock = ClockBasis::None;
    const TimeScale scale = choice.time ? timeScaleOf(table.columns[*choice.time]) : TimeScale{};
    Micros start{0};
    if (scale.isElapsed) {
        const auto named = text::preambleStart(tables.preamble, zone);
        start = named.instant.value_or(Micros{0});
        if (named.instant) recording.clock = named.isZoned ? ClockBasis::Utc : ClockBasis::ZoneUnknown;
    } else {
        recording.clock = scale.clock;
    }
    auto& guessed = recording.guessed;
    guessed.emplace_back("layout", fmt::format("beat intervals at {}", table.place));
    if (!options.rateColumn) {
        const std::string name = printable(table.columns[choice.intervals].name);
        guessed.emplace_back("interval column", name.empty() ? "the list" : name);
    }
    guessed.emplace_back("interval unit", choice.toMilliseconds == 1.0 ? "milliseconds" : "seconds");
    guessed.emplace_back("time column", choice.time ? printable(table.columns[*choice.time].name)
                                                    : "none: intervals follow one another");
    if (choice.time) {
        guessed.emplace_back("time kind", scale.text);
        noteOrder(recording, table.columns[*choice.time]);
    }
    noteZone(recording);
    addBeats(recording, BeatRows{table, choice, start}.read(recording));
    noteDamage(recording, tables);
    return recording;
}

void noteOrder(Recording& recording, const Column& times) {
    if (!times.isOrderOpen) return;
    const bool isMonthFirst = times.onlyMonthFirst > times.onlyDayFirst;
    recording.guessed.emplace_back("date order", isMonthFirst ? "month/day/year" : "day/month/year");
    if (times.onlyMonthFirst == times.onlyDayFirst)
        recording.warnings.emplace_back(
            "the dates leave open which number is the day and which the month; day first was taken");
}

void noteZone(Recording& recording) {
    if (recording.clock != ClockBasis::ZoneUnknown) return;
    recording.guessed.emplace_back("zone", "unknown, laid on UTC");
    recording.warnings.emplace_back(
        "the times name no zone; they were laid on UTC provisionally (--zone says otherwise)");
}

void noteDamage(Recording& recording, const Tables& tables) {
    auto& warnings = recording.warnings;
    if (tables.damagedByte)
        warnings.push_back(fmt::format("the JSON {} at byte {}; what stands before was read",
                                       tables.isCut ? "breaks off" : "is damaged", *tables.damagedByte));
    if (tables.isOverfull)
        warnings.emplace_back("the JSON holds more numbers than can be kept; the last ones were left out");
}

}  // namespace beatwitness::recording::json
