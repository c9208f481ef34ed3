#include "core/recording/text_columns.h"

#include <algorithm>
#include <array>
#include <initializer_list>
#include <vector>

namespace beatwitness::recording::text {
namespace {

constexpr std::size_t longestHeader = 80;
constexpr std::size_t mostWords = 8;

bool isUpper(char c) {
    return c >= 'A' && c <= 'Z';
}
bool isLower(char c) {
    return (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80;
}
bool isDigit(char c) {
    return c >= '0' && c <= '9';
}
char lower(char c) {
    return isUpper(c) ? static_cast<char>(c + 32) : c;
}

/// The words of a header and, apart from them, its unit: what stands in brackets, behind a slash or "per".
struct HeaderWords {
    std::vector<std::string> words;
    std::string unit;  ///< lower case, without blanks

    [[nodiscard]] bool has(std::string_view word) const {
        return std::ranges::find(words, word) != words.end();
    }
    [[nodiscard]] bool hasAny(std::initializer_list<std::string_view> wanted) const {
        return std::ranges::any_of(wanted, [this](std::string_view word) { return has(word); });
    }
    /// True where `first` stands right before `second`.
    [[nodiscard]] bool hasPair(std::string_view first, std::string_view second) const {
        for (std::size_t i = 0; i + 1 < words.size(); ++i)
            if (words[i] == first && words[i + 1] == second) return true;
        return false;
    }
};

/// `header` without what stands in brackets, which goes to `unit`.
std::string withoutBrackets(std::string_view header, std::string& unit) {
    std::string outside;
    int depth = 0;
    for (const char c : header) {
        if (c == '(' || c == '[' || c == '{') {
            ++depth;
            outside += ' ';
        } else if (c == ')' || c == ']' || c == '}') {
            depth = std::max(0, depth - 1);
        } else if (depth > 0) {
            if (c != ' ') unit += lower(c);
        } else {
            outside += c;
        }
    }
    return outside;
}

/// Units that are written without brackets, moved from the text to `unit`.
void takeBareUnit(std::string& text, std::string& unit) {
    static constexpr std::array<std::string_view, 16> written{"counts/min",
                                                              "count/min",
                                                              "beats/min",
                                                              "beats per minute",
                                                              "beats/minute",
                                                              "beats_per_minute",
                                                              "steps/min",
                                                              "strides/min",
                                                              "rev/min",
                                                              "steps per minute",
                                                              "steps_per_minute",
                                                              "rounds/min",
                                                              "km/h",
                                                              "1/min",
                                                              "m/s",
                                                              "mi/h"};
    std::string lowered;
    std::ranges::transform(text, std::back_inserter(lowered), lower);
    for (const auto form : written) {
        const std::size_t at = lowered.find(form);
        if (at == std::string::npos) continue;
        std::ranges::copy_if(form, std::back_inserter(unit), [](char c) { return c != ' ' && c != '_'; });
        std::fill_n(text.begin() + static_cast<std::ptrdiff_t>(at), form.size(), ' ');
        return;
    }
}

/// Parts at anything that is no letter or digit, at a change from lower to upper case and between letters and
/// digits.
std::vector<std::string> wordsOf(std::string_view text) {
    std::vector<std::string> words;
    char before = ' ';
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const char behind = i + 1 < text.size() ? text[i + 1] : ' ';
        const bool isWordCharacter = isUpper(c) || isLower(c) || isDigit(c);
        const bool startsWord =
            (!isUpper(before) && !isLower(before) && !isDigit(before)) || (isUpper(c) && isLower(before)) ||
            (isUpper(c) && isUpper(before) && isLower(behind)) || isDigit(c) != isDigit(before);
        if (isWordCharacter) {
            if (startsWord) words.emplace_back();
            words.back() += lower(c);
        }
        before = c;
    }
    return words;
}

HeaderWords headerWords(std::string_view header) {
    HeaderWords found;
    std::string outside = withoutBrackets(header, found.unit);
    takeBareUnit(outside, found.unit);
    found.words = wordsOf(outside);
    // "(hr)" and the like: a header that stands wholly in brackets is no unit.
    if (found.words.empty()) found.words = wordsOf(found.unit);
    return found;
}

bool unitIs(const HeaderWords& h, std::initializer_list<std::string_view> units) {
    return std::ranges::any_of(units, [&h](std::string_view unit) { return h.unit == unit; });
}

bool unitOrWord(const HeaderWords& h, std::initializer_list<std::string_view> units) {
    return unitIs(h, units) || h.hasAny(units);
}

/// Words that turn a quantity into a summary, a limit or a judgement of it.
bool isDerived(const HeaderWords& h) {
    return h.hasAny({"max",       "maximum",     "min",        "minimum",  "avg",      "average",
                     "mean",      "median",      "zone",       "zones",    "rest",     "resting",
                     "target",    "limit",       "reserve",    "recovery", "percent",  "pct",
                     "threshold", "variability", "confidence", "quality",  "accuracy", "status",
                     "source",    "contact",     "sd",         "std",      "stdev",    "error",
                     "valid",     "alert",       "alarm",      "id",       "type",     "flag"});
}

bool isHeartRate(const HeaderWords& h) {
    if (isDerived(h) ||
        h.hasAny({"hrv", "rmssd", "ox", "oximetry", "oximeter", "spo", "pressure", "amplitude", "width",
                  "transit", "wave", "cadence", "resp", "respiration", "respiratory", "tempo", "ppg"}))
        return false;
    if (h.hasAny({"hr", "heartrate", "bpm", "pulse", "pulserate", "puls", "herzfrequenz"})) return true;
    if (h.hasPair("heart", "rate") || h.hasPair("heart", "beat") || h.hasPair("heart", "frequency"))
        return true;
    return h.words.size() == 1 && h.words[0] == "heart" &&
           unitIs(h, {"bpm", "beats/min", "count/min", "1/min"});
}

bool isBeatInterval(const HeaderWords& h) {
    if (h.hasAny({"respiratory", "respiration", "resp", "sd", "mean", "avg", "rmssd", "max", "min"}))
        return false;
    if (h.unit.find("breath") != std::string::npos || unitIs(h, {"brpm", "bpm"})) return false;
    return h.hasAny({"rr", "rri", "ibi", "nn", "nni", "rrinterval", "rrintervals", "ppi"}) ||
           h.hasPair("r", "r") || h.hasPair("beat", "interval") || h.hasPair("interbeat", "interval");
}

bool isCadence(const HeaderWords& h) {
    return h.hasAny({"cadence", "cad", "rpm", "spm", "trittfrequenz"}) || h.hasPair("step", "rate") ||
           h.hasPair("stroke", "rate") || h.hasPair("pedal", "rate") || h.hasPair("stride", "rate") ||
           unitIs(h, {"rpm", "spm", "steps/min", "strides/min", "rev/min", "stepsperminute"});
}

ColumnMeaning measure(ChannelKind channel, double scale = 1.0) {
    ColumnMeaning meaning;
    meaning.role = Role::Measure;
    meaning.channel = channel;
    meaning.scale = scale;
    return meaning;
}

double speedScale(const HeaderWords& h) {
    if (unitOrWord(h, {"km/h", "kmh", "kph", "kmph", "kilometers/hour"}) || h.hasPair("km", "h"))
        return 1.0 / 3.6;
    if (unitOrWord(h, {"mph", "mi/h"})) return 0.44704;
    if (unitOrWord(h, {"kn", "kt", "kts", "knots"})) return 1852.0 / 3600.0;
    return 1.0;
}

double lengthScale(const HeaderWords& h) {
    if (unitOrWord(h, {"km", "kilometer", "kilometers", "kilometre", "kilometres"})) return 1000.0;
    if (unitOrWord(h, {"mi", "mile", "miles"})) return 1609.344;
    if (unitOrWord(h, {"ft", "feet", "foot"})) return 0.3048;
    if (unitOrWord(h, {"cm"})) return 0.01;
    return 1.0;
}

std::optional<ColumnMeaning> otherMeasure(const HeaderWords& h) {
    if (isDerived(h)) return std::nullopt;
    if (h.hasAny({"power", "pwr", "watts", "watt"}) && !h.hasAny({"balance", "left", "right"}))
        return measure(ChannelKind::Power, unitIs(h, {"kw"}) ? 1000.0 : 1.0);
    if (h.hasAny({"speed", "spd", "velocity"}) && !h.has("vertical"))
        return measure(ChannelKind::Speed, speedScale(h));
    if (h.hasAny({"altitude", "alt", "elevation", "ele"}) && !h.hasAny({"gain", "loss"}))
        return measure(ChannelKind::Altitude, lengthScale(h));
    if (h.hasAny({"distance", "dist"})) return measure(ChannelKind::Distance, lengthScale(h));
    return std::nullopt;
}

TimeUnit timeUnit(const HeaderWords& h) {
    if (unitOrWord(h, {"ms", "msec", "millis", "millisecond", "milliseconds", "msecs"}))
        return TimeUnit::Millis;
    if (unitOrWord(h, {"us", "usec", "micros", "microsecond", "microseconds", "\xC2\xB5s", "\xCE\xBCs"}))
        return TimeUnit::Micros;
    if (unitOrWord(h, {"ns", "nanos", "nanosecond", "nanoseconds"})) return TimeUnit::Nanos;
    if (unitOrWord(h, {"min", "mins", "minutes"})) return TimeUnit::Minutes;
    // "hr" is hours only in brackets: "hr time" is the time of a heart rate.
    if (unitIs(h, {"h", "hr", "hrs"}) || h.has("hours")) return TimeUnit::Hours;
    if (unitOrWord(h, {"s", "sec", "secs", "second", "seconds"})) return TimeUnit::Seconds;
    return TimeUnit::Unsaid;
}

bool isTime(const HeaderWords& h) {
    if (h.hasAny({"zone", "timezone", "tz", "lap", "laps", "moving", "pace", "interval", "duration", "split",
                  "dur", "total", "temp", "temperature", "remaining", "standing", "offset", "contact",
                  "sleep"}))
        return false;
    if (h.hasAny({"timestamp",    "timestamps", "time",  "times",  "date",    "datetime",
                  "elapsed",      "seconds",    "secs",  "second", "sec",     "unix",
                  "unixtime",     "epoch",      "iso",   "utc",    "clock",   "millis",
                  "milliseconds", "ms",         "datum", "zeit",   "uhrzeit", "since"}))
        return true;
    return h.words.size() == 1 && (h.words[0] == "t" || h.words[0] == "s") && h.unit.size() <= 3;
}

ColumnMeaning timeMeaning(const HeaderWords& h) {
    ColumnMeaning meaning;
    meaning.role = Role::Time;
    meaning.timeUnit = timeUnit(h);
    meaning.saysUtc = unitOrWord(h, {"utc", "gmt", "zulu"});
    meaning.saysElapsed =
        h.hasAny({"elapsed", "since", "relative", "rel", "seconds", "secs", "sec", "second", "t"});
    meaning.saysEnd = h.hasAny({"end", "stop", "finish", "created", "updated", "received"});
    return meaning;
}

ColumnMeaning plain(Role role) {
    ColumnMeaning meaning;
    meaning.role = role;
    return meaning;
}

}  // namespace

ColumnMeaning meaningOf(std::string_view header) {
    if (header.empty() || header.size() > longestHeader) return {};
    const HeaderWords h = headerWords(header);
    if (h.words.empty() || h.words.size() > mostWords) return {};
    if (isBeatInterval(h))
        return measure(ChannelKind::BeatInterval, unitOrWord(h, {"s", "sec", "seconds"}) ? 1000.0 : 1.0);
    if (isCadence(h)) return isDerived(h) ? ColumnMeaning{} : measure(ChannelKind::Cadence);
    // "time (hr)" is a time in hours; "hr time" is the time of a heart rate.
    const bool isTimeWord = isTime(h);
    if (isTimeWord && h.hasAny({"timestamp", "time", "datetime", "elapsed", "date"})) return timeMeaning(h);
    if (isHeartRate(h)) return measure(ChannelKind::HeartRate);
    if (const auto other = otherMeasure(h)) return *other;
    if (h.hasAny({"lap", "laps", "runde"}) && h.words.size() <= 2 &&
        (h.words.size() == 1 || h.hasAny({"number", "no", "id", "index", "nr", "name"})))
        return plain(Role::Lap);
    if (isTimeWord) return timeMeaning(h);
    if (h.hasAny({"type", "kind", "metric", "measurement", "parameter", "quantity", "variable"}))
        return plain(Role::Kind);
    if (h.hasAny({"value", "values", "reading"})) return plain(Role::Value);
    return {};
}

}  // namespace beatwitness::recording::text
