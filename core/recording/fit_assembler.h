#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/recording/fit_beats.h"
#include "core/recording/fit_decoder.h"
#include "core/recording/fit_heart_events.h"
#include "core/recording/fit_series.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// Makes a Recording of the messages of a FIT file.
///
/// Records lead: a heart rate of 0 or 255 is none; `hr` events fill the spans in which records have none
/// (fit_heart_events.h); hrv intervals are a channel of their own. Of session messages only the sport
/// is taken: what they sum up is computed from the samples instead. A timer that stops and starts again
/// within one part makes a pause; a stop at its end does not. Where some times are dates and others count
/// from switching on, those of the kind that more records have stay.
class FitAssembler final : public FitSink {
public:
    /// Messages beyond about `mostValues` values (value_budget.h) are left out with a warning.
    explicit FitAssembler(std::size_t mostValues) : mostValues_(mostValues) {}

    void beginPart() override;
    void take(const FitMessageView& message) override;

    /// Everything taken so far, as a Recording with warnings on what had to be left out. Call once.
    [[nodiscard]] Recording finish();

private:
    void takeDevice(const FitMessageView& message);
    void takeSport(const FitMessageView& message);
    void takeRecord(const FitMessageView& message);
    void takeSamples(const FitMessageView& message, RecordingTime time);
    void takeLap(const FitMessageView& message);
    void takeEvent(const FitMessageView& message);
    void takeActivity(const FitMessageView& message);
    void reserveFor(const FitMessageView& message);

    [[nodiscard]] bool isFull();
    [[nodiscard]] bool datesLead() const;
    void keepOneKindOfTime(bool dates);
    [[nodiscard]] std::string undatedWarning() const;
    void warnOfLeftOut();
    void warnOfNoRecords();
    [[nodiscard]] std::vector<Channel> channels();
    [[nodiscard]] std::string deviceName() const;
    [[nodiscard]] std::string firmware() const;

    FitSeries heartRate_, cadence_, power_, speed_, altitude_, distance_;
    FitBeats beats_;
    FitHeartEvents heartEvents_;
    std::vector<Lap> laps_;
    std::vector<Span<RecordingClock>> pauses_;
    std::optional<RecordingTime> stoppedAt_;
    std::size_t datedRecords_ = 0, undatedRecords_ = 0, recordsWithoutTime_ = 0;
    std::optional<RecordingTime> firstUndated_;
    std::optional<Micros> localMinusDevice_;
    std::optional<double> fileType_, manufacturer_, product_;
    std::optional<double> serial_, software_, creatorSoftware_;
    std::string productName_, sport_, sportName_;
    std::vector<std::string> warnings_;
    std::size_t smallestRecord_ =
        static_cast<std::size_t>(-1);  ///< bytes; room is asked for at each smaller one
    std::size_t mostValues_;
    std::size_t messages_ = 0, leftOut_ = 0;
};

}  // namespace beatwitness::recording
