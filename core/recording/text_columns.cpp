#include "core/recording/text_columns.h"

#include "core/recording/text_words.h"

namespace beatwitness::recording::text {
namespace {

bool isHeartRate(const HeaderWords& h) {
    if (h.saysAny({Says::Derived, Says::NoRate})) return false;
    if (h.says(Says::HeartRate) || h.saysPair(Says::Heart, Says::RateBehindHeart)) return true;
    // "Strap [bpm]": whatever the word is, nothing else is measured in beats.
    if (h.unitIs({"bpm", "beats/min", "beats/minute", "beatsperminute"})) return true;
    return h.count() == 1 && h.says(Says::Heart) && h.unitIs({"count/min", "1/min"});
}

bool isBeatInterval(const HeaderWords& h) {
    if (h.says(Says::NoInterval)) return false;
    if (h.unit().find("breath") != std::string::npos || h.unitIs({"brpm", "bpm"})) return false;
    return h.says(Says::Interval) || h.saysPair(Says::R, Says::R) ||
           h.saysPair(Says::Beat, Says::IntervalBehindBeat);
}

bool isCadence(const HeaderWords& h) {
    return h.says(Says::Cadence) || h.saysPair(Says::Step, Says::Rate) ||
           h.unitIs({"rpm", "spm", "steps/min", "strides/min", "rev/min", "stepsperminute"});
}

ColumnMeaning measure(ChannelKind channel, double scale = 1.0) {
    ColumnMeaning meaning;
    meaning.role = Role::Measure;
    meaning.channel = channel;
    meaning.scale = scale;
    return meaning;
}

double speedScale(const HeaderWords& h) {
    if (h.unitOrWord({"km/h", "kmh", "kph", "kmph", "kilometers/hour"}, Says::Kmh) ||
        h.saysPair(Says::Kilometres, Says::Hour))
        return 1.0 / 3.6;
    if (h.unitOrWord({"mph", "mi/h"}, Says::Mph)) return 0.44704;
    if (h.unitOrWord({"kn", "kt", "kts", "knots"}, Says::Knots)) return 1852.0 / 3600.0;
    return 1.0;
}

double lengthScale(const HeaderWords& h) {
    if (h.unitOrWord({"km", "kilometer", "kilometers", "kilometre", "kilometres"}, Says::Kilometres))
        return 1000.0;
    if (h.unitOrWord({"mi", "mile", "miles"}, Says::Miles)) return 1609.344;
    if (h.unitOrWord({"ft", "feet", "foot"}, Says::Feet)) return 0.3048;
    if (h.unitOrWord({"cm"}, Says::Centimetres)) return 0.01;
    return 1.0;
}

std::optional<ColumnMeaning> otherMeasure(const HeaderWords& h) {
    if (h.says(Says::Derived)) return std::nullopt;
    if (h.says(Says::Power) && !h.says(Says::OneSided))
        return measure(ChannelKind::Power, h.unitIs({"kw"}) ? 1000.0 : 1.0);
    if (h.says(Says::Speed) && !h.says(Says::Vertical)) return measure(ChannelKind::Speed, speedScale(h));
    if (h.says(Says::Altitude) && !h.says(Says::GainOrLoss))
        return measure(ChannelKind::Altitude, lengthScale(h));
    if (h.says(Says::Distance)) return measure(ChannelKind::Distance, lengthScale(h));
    return std::nullopt;
}

TimeUnit timeUnit(const HeaderWords& h) {
    if (h.unitOrWord({"ms", "msec", "millis", "millisecond", "milliseconds", "msecs"}, Says::Millis))
        return TimeUnit::Millis;
    if (h.unitOrWord({"us", "usec", "micros", "microsecond", "microseconds", "\xC2\xB5s", "\xCE\xBCs"},
                     Says::Micros))
        return TimeUnit::Micros;
    if (h.unitOrWord({"ns", "nanos", "nanosecond", "nanoseconds"}, Says::Nanos)) return TimeUnit::Nanos;
    if (h.unitOrWord({"min", "mins", "minutes"}, Says::Minutes)) return TimeUnit::Minutes;
    // "hr" is hours only in brackets: "hr time" is the time of a heart rate.
    if (h.unitOrWord({"h", "hr", "hrs"}, Says::Hours)) return TimeUnit::Hours;
    if (h.unitOrWord({"s", "sec", "secs", "second", "seconds"}, Says::Seconds)) return TimeUnit::Seconds;
    return TimeUnit::Unsaid;
}

bool isTime(const HeaderWords& h) {
    if (h.says(Says::NoTime)) return false;
    return h.says(Says::Time) || (h.count() == 1 && h.says(Says::TimeAlone) && h.unit().size() <= 3);
}

ColumnMeaning timeMeaning(const HeaderWords& h) {
    ColumnMeaning meaning;
    meaning.role = Role::Time;
    meaning.timeUnit = timeUnit(h);
    meaning.saysUtc = h.unitOrWord({"utc", "gmt", "zulu"}, Says::Utc);
    meaning.saysElapsed = h.says(Says::Elapsed);
    meaning.saysEnd = h.says(Says::End);
    return meaning;
}

ColumnMeaning plain(Role role) {
    ColumnMeaning meaning;
    meaning.role = role;
    return meaning;
}

}  // namespace

ColumnMeaning meaningOf(std::string_view header) {
    if (header.empty() || header.size() > HeaderWords::longestHeader) return {};
    const HeaderWords h{header};
    if (h.count() == 0 || h.count() > HeaderWords::mostWords) return {};
    if (isBeatInterval(h))
        return measure(ChannelKind::BeatInterval,
                       h.unitOrWord({"s", "sec", "seconds"}, Says::Seconds) ? 1000.0 : 1.0);
    if (isCadence(h)) return h.says(Says::Derived) ? ColumnMeaning{} : measure(ChannelKind::Cadence);
    // "time (hr)" is a time in hours; "hr time" is the time of a heart rate.
    const bool isTimeWord = isTime(h);
    if (isTimeWord && h.says(Says::ClearlyTime)) return timeMeaning(h);
    if (isHeartRate(h)) return measure(ChannelKind::HeartRate);
    if (const auto other = otherMeasure(h)) return *other;
    if (h.says(Says::Lap) && h.count() <= 2 && (h.count() == 1 || h.says(Says::LapNumber)))
        return plain(Role::Lap);
    if (isTimeWord) return timeMeaning(h);
    if (h.says(Says::Kind)) return plain(Role::Kind);
    if (h.says(Says::Value)) return plain(Role::Value);
    return {};
}

}  // namespace beatwitness::recording::text
