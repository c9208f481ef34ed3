#include "core/recording/fit_assembler.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/foundation/text.h"
#include "core/recording/fit_sports.h"

namespace beatwitness::recording {
namespace {

constexpr double activityFile = 4;
constexpr double timerEvent = 0;
constexpr double timerStart = 0;
constexpr double notThere8 = 255;  // some writers use wider fields and keep the mark of the narrow one

bool stopsTimer(double eventType) {
    return eventType == 1 || eventType == 4 || eventType == 8 ||
           eventType == 9;  // stop, of all, and with disabling
}

std::optional<RecordingTime> storedTime(const FitMessageView& message, std::size_t slot) {
    const auto stored = message.plan[slot].unsigned32(message.content);
    return stored ? std::optional{recordingTime(*stored)} : std::nullopt;
}

std::string plural(std::size_t count, const char* noun) {
    return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

}  // namespace

void FitAssembler::beginPart() {
    beats_.beginPart();
    heartEvents_.beginPart();
    stoppedAt_.reset();
}

/// Counts only now and then: counting at each message would show in the time.
bool FitAssembler::isFull() {
    constexpr std::size_t messagesBetween = 1024;
    if (leftOut_ > 0) return true;
    if (++messages_ % messagesBetween != 0) return false;
    std::size_t values = beats_.series().size() + heartEvents_.series().size();
    for (const auto* series : {&heartRate_, &cadence_, &power_, &speed_, &altitude_, &distance_})
        values += series->size();
    return values >= mostValues_;
}

void FitAssembler::take(const FitMessageView& message) {
    if (isFull()) {
        ++leftOut_;
        return;
    }
    if (message.time && message.plan.message != FitMessage::Other)
        beats_.tellTime(recordingTime(*message.time));
    switch (message.plan.message) {
        case FitMessage::Record:
            return takeRecord(message);
        case FitMessage::HeartRates:
            return heartEvents_.take(message);
        case FitMessage::HeartBeats:
            return beats_.take(message);
        case FitMessage::Lap:
            return takeLap(message);
        case FitMessage::Event:
            return takeEvent(message);
        case FitMessage::FileId:
        case FitMessage::DeviceInfo:
            return takeDevice(message);
        case FitMessage::Activity:
            return takeActivity(message);
        case FitMessage::FileCreator:
            if (!creatorSoftware_) creatorSoftware_ = message.number(fit_slot::creatorSoftware);
            return;
        case FitMessage::Sport:
        case FitMessage::Session:
            return takeSport(message);
        case FitMessage::Other:
            return;
    }
}

/// Of chained parts and of the devices that one part lists, the first says which device recorded; sensors do
/// not.
void FitAssembler::takeDevice(const FitMessageView& message) {
    const bool fileId = message.plan.message == FitMessage::FileId;
    if (!fileId && message.number(fit_slot::deviceIndex).value_or(0) != 0) return;
    if (fileId && !fileType_) fileType_ = message.number(fit_slot::fileType);
    if (!serial_) serial_ = message.number(fit_slot::serialNumber);
    if (!software_) software_ = message.number(fit_slot::softwareVersion);
    if (!manufacturer_) {
        manufacturer_ = message.number(fit_slot::manufacturer);
        product_ = message.number(fit_slot::product);
    }
    if (productName_.empty()) productName_ = message.plan[fit_slot::productName].text(message.content);
}

/// The first that is said stands; several activities in one file go by the first of them.
void FitAssembler::takeSport(const FitMessageView& message) {
    if (sportName_.empty() && message.plan.message == FitMessage::Sport)
        sportName_ = message.plan[fit_slot::sportName].text(message.content);
    if (!sport_.empty()) return;
    sport_ = fitSportWords(message.number(fit_slot::sport), message.number(fit_slot::subSport));
}

void FitAssembler::takeRecord(const FitMessageView& message) {
    if (!message.time) {
        ++recordsWithoutTime_;
        return;
    }
    if (message.plan.size < smallestRecord_) reserveFor(message);
    const RecordingTime time = recordingTime(*message.time);
    if (*message.time >= firstFitDate) {
        ++datedRecords_;
    } else {
        ++undatedRecords_;
        if (!firstUndated_) firstUndated_ = time;
    }
    takeSamples(message, time);
}

void FitAssembler::takeSamples(const FitMessageView& message, RecordingTime time) {
    double value = 0, fraction = 0;
    if (message.read(fit_slot::heartRate, value) && value != 0 && value != notThere8)
        heartRate_.add(time, value);
    if (message.read(fit_slot::cadence, value))
        cadence_.add(time,
                     message.read(fit_slot::fractionalCadence, fraction) ? value + fraction / 128 : value);
    if (message.read(fit_slot::power, value)) power_.add(time, value);
    if (message.read(fit_slot::enhancedSpeed, value) || message.read(fit_slot::speed, value))
        speed_.add(time, value / 1000);
    if (message.read(fit_slot::enhancedAltitude, value) || message.read(fit_slot::altitude, value))
        altitude_.add(time, value / 5 - 500);
    if (message.read(fit_slot::distance, value)) distance_.add(time, value / 100);
}

/// Growing a vector step by step would copy it and for a moment hold it twice. What a file could hold at
/// most, if the rest of it were records like the smallest so far, is asked for at once; memory that is not
/// written to costs nothing.
void FitAssembler::reserveFor(const FitMessageView& message) {
    smallestRecord_ = message.plan.size;
    const std::size_t most = message.bytesLeft / (message.plan.size + 1) + 1;
    const auto reserve = [&](FitSeries& series, std::initializer_list<std::size_t> slots) {
        if (std::ranges::any_of(slots, [&](std::size_t slot) { return message.plan[slot].present(); }))
            series.reserve(series.size() + most);
    };
    reserve(heartRate_, {fit_slot::heartRate});
    reserve(cadence_, {fit_slot::cadence});
    reserve(power_, {fit_slot::power});
    reserve(speed_, {fit_slot::speed, fit_slot::enhancedSpeed});
    reserve(altitude_, {fit_slot::altitude, fit_slot::enhancedAltitude});
    reserve(distance_, {fit_slot::distance});
}

/// A lap ends at its own timestamp, which also holds the time for which the timer stood still; without a
/// usable one, after the time that the timer ran.
void FitAssembler::takeLap(const FitMessageView& message) {
    const auto begin = storedTime(message, fit_slot::lapStart);
    if (!begin) return;
    RecordingTime end = message.time ? recordingTime(*message.time) : *begin - Micros{1};
    const auto elapsed_ms = message.number(fit_slot::lapElapsed);
    if (end < *begin && elapsed_ms && *elapsed_ms >= 0 && *elapsed_ms < UINT32_MAX)
        end = *begin + toMicros({*elapsed_ms * 1e-3});
    if (end < *begin) return;
    laps_.push_back({{*begin, end}, fmt::format("lap {}", laps_.size() + 1)});
}

void FitAssembler::takeEvent(const FitMessageView& message) {
    const auto type = message.number(fit_slot::eventType);
    if (!type || !message.time || message.number(fit_slot::event) != timerEvent) return;
    const RecordingTime time = recordingTime(*message.time);
    if (stopsTimer(*type) && !stoppedAt_) stoppedAt_ = time;
    if (*type != timerStart || !stoppedAt_) return;
    if (*stoppedAt_ < time) pauses_.push_back({*stoppedAt_, time});
    stoppedAt_.reset();
}

void FitAssembler::takeActivity(const FitMessageView& message) {
    const auto local = storedTime(message, fit_slot::localTimestamp);
    if (local && isDate(*local) && message.time) localMinusDevice_ = *local - recordingTime(*message.time);
}

bool FitAssembler::datesLead() const {
    if (datedRecords_ != undatedRecords_) return datedRecords_ > undatedRecords_;
    if (datedRecords_ > 0) return true;
    return laps_.empty() || isDate(laps_.front().span.begin);
}

void FitAssembler::keepOneKindOfTime(bool dates) {
    const auto keeps = [dates](RecordingTime time, double = 0) { return isDate(time) == dates; };
    const std::size_t others = dates ? undatedRecords_ : datedRecords_;
    if (others > 0)
        for (auto* series : {&heartRate_, &cadence_, &power_, &speed_, &altitude_, &distance_})
            series->keepOnly(keeps);
    beats_.series().keepOnly(keeps);
    heartEvents_.series().keepOnly(keeps);
    std::erase_if(laps_, [&](const Lap& lap) { return !keeps(lap.span.begin) || !keeps(lap.span.end); });
    std::erase_if(pauses_, [&](const auto& pause) { return !keeps(pause.begin) || !keeps(pause.end); });
}

std::string FitAssembler::undatedWarning() const {
    std::string text =
        "The clock of the device was never set: times count from when it was switched on, the date is "
        "unknown";
    if (localMinusDevice_ && firstUndated_) {
        const std::string begin = isoInstant((*firstUndated_ + *localMinusDevice_).time_since_epoch());
        text += fmt::format(
            "; by the local time of its activity message the first record is of {} {}, zone unknown",
            begin.substr(0, 10), begin.substr(11, 8));
    }
    return text + ".";
}

void FitAssembler::warnOfLeftOut() {
    const std::size_t records = datedRecords_ + undatedRecords_;
    if (datedRecords_ > 0 && undatedRecords_ > 0)
        warnings_.push_back(
            fmt::format("{} of {} left out: some times are dates and some count from when the device was "
                        "switched on; those of "
                        "the more frequent kind stay.",
                        std::min(datedRecords_, undatedRecords_), plural(records, "record")));
    if (leftOut_ > 0)
        warnings_.push_back(fmt::format("{} left out: the file holds more values than can be kept.",
                                        plural(leftOut_, "message")));
    if (recordsWithoutTime_ > 0)
        warnings_.push_back(
            fmt::format("{} without a time left out.", plural(recordsWithoutTime_, "record")));
    if (heartEvents_.withoutAnchor() > 0)
        warnings_.push_back(fmt::format("{} left out: no message before them ties their counter to a time.",
                                        plural(heartEvents_.withoutAnchor(), "heart-rate event")));
    if (beats_.withoutTime() > 0)
        warnings_.push_back(fmt::format("{} left out: nothing around them says when they were.",
                                        plural(beats_.withoutTime(), "beat interval")));
}

std::string FitAssembler::deviceName() const {
    if (!productName_.empty()) return printable(productName_);
    if (manufacturer_ && product_)
        return fmt::format("manufacturer {}, product {}", *manufacturer_, *product_);
    if (manufacturer_) return fmt::format("manufacturer {}", *manufacturer_);
    return {};
}

std::string FitAssembler::firmware() const {
    if (software_) return fmt::format("{:.2f}", *software_ / 100);
    return creatorSoftware_ ? fmt::format("{}", *creatorSoftware_) : std::string{};
}

void FitAssembler::warnOfNoRecords() {
    if (fileType_ && *fileType_ != activityFile)
        warnings_.push_back(fmt::format(
            "The file holds no records: it is of FIT type {}, a recording of an activity is of type 4.",
            *fileType_));
    else
        warnings_.push_back("The file holds no records with a time.");
}

std::vector<Channel> FitAssembler::channels() {
    std::vector<Channel> channels;
    const auto add = [&channels](ChannelKind kind, FitSeries& series) {
        if (!series.empty()) channels.push_back({kind, std::move(series.times), std::move(series.values)});
    };
    add(ChannelKind::HeartRate, heartRate_);
    add(ChannelKind::BeatInterval, beats_.series());
    add(ChannelKind::Cadence, cadence_);
    add(ChannelKind::Power, power_);
    add(ChannelKind::Speed, speed_);
    add(ChannelKind::Altitude, altitude_);
    add(ChannelKind::Distance, distance_);
    return channels;
}

Recording FitAssembler::finish() {
    const bool dates = datesLead();
    if (!dates) warnings_.push_back(undatedWarning());
    keepOneKindOfTime(dates);
    warnOfLeftOut();
    const std::size_t filled = fillFromEvents(heartRate_, std::move(heartEvents_.series()));

    Recording recording;
    recording.format = Format::Fit;
    recording.device = deviceName();
    if (serial_) recording.serial = fmt::format("{}", *serial_);
    recording.firmware = firmware();
    recording.sport = sportName_.empty() ? sport_ : printable(sportName_);
    recording.clock = dates ? ClockBasis::Utc : ClockBasis::None;
    recording.rows = (dates ? datedRecords_ : undatedRecords_) + filled;
    if (recording.rows == 0) warnOfNoRecords();
    recording.channels = channels();
    recording.laps = std::move(laps_);
    recording.pauses = std::move(pauses_);
    recording.warnings = std::move(warnings_);
    return recording;
}

}  // namespace beatwitness::recording
