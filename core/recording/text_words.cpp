#include "core/recording/text_words.h"

#include <algorithm>
#include <utility>

namespace beatwitness::recording::text {
namespace {

/// Words that say the same, blanks between them.
struct Group {
    Says what;
    std::string_view words;
};

constexpr Group groups[] = {
    {Says::Derived,
     "max maximum min minimum avg average mean median zone zones rest resting target limit reserve recovery "
     "percent pct threshold variability confidence quality accuracy status source contact sd std stdev error "
     "valid alert alarm id type flag"},
    {Says::NoRate,
     "hrv rmssd ox oximetry oximeter spo pressure amplitude width transit wave cadence resp respiration "
     "respiratory breath breaths breathing tempo ppg"},
    {Says::HeartRate,
     "hr heartrate bpm pulse pulserate puls herzfrequenz hartslag hartfrequentie cardiaque cardiaca "
     "card\xC3\xAD"
     "aca"},
    {Says::Heart, "heart"},
    {Says::RateBehindHeart, "rate beat frequency"},
    {Says::NoInterval, "respiratory respiration resp sd mean avg rmssd max min"},
    {Says::Interval, "rr rri ibi nn nni rrinterval rrintervals ppi"},
    {Says::R, "r"},
    {Says::Beat, "beat interbeat"},
    {Says::IntervalBehindBeat, "interval"},
    {Says::Cadence, "cadence cad rpm spm trittfrequenz"},
    {Says::Step, "step stroke pedal stride"},
    {Says::Rate, "rate"},
    {Says::Power, "power pwr watts watt"},
    {Says::OneSided, "balance left right"},
    {Says::Speed, "speed spd velocity"},
    {Says::Vertical, "vertical"},
    {Says::Altitude, "altitude alt elevation ele"},
    {Says::GainOrLoss, "gain loss"},
    {Says::Distance, "distance dist"},
    {Says::Kmh, "kmh kph kmph"},
    {Says::Hour, "h"},
    {Says::Mph, "mph"},
    {Says::Knots, "kn kt kts knots"},
    {Says::Kilometres, "km kilometer kilometers kilometre kilometres"},
    {Says::Miles, "mi mile miles"},
    {Says::Feet, "ft feet foot"},
    {Says::Centimetres, "cm"},
    {Says::Millis, "ms msec millis millisecond milliseconds msecs"},
    {Says::Micros, "us usec micros microsecond microseconds \xC2\xB5s \xCE\xBCs"},
    {Says::Nanos, "ns nanos nanosecond nanoseconds"},
    {Says::Minutes, "min mins minutes"},
    {Says::Hours, "hours"},
    {Says::Seconds, "s sec secs second seconds"},
    {Says::NoTime,
     "zone timezone tz lap laps moving pace interval duration split dur total temp temperature remaining "
     "standing offset contact sleep"},
    {Says::Time,
     "timestamp timestamps time times date datetime elapsed seconds secs second sec unix unixtime epoch iso "
     "utc clock millis milliseconds ms datum zeit uhrzeit zeitstempel tijd temps heure hora fecha "
     "since"},
    {Says::ClearlyTime, "timestamp time datetime elapsed date"},
    {Says::TimeAlone, "t s"},
    {Says::Utc, "utc gmt zulu"},
    {Says::Elapsed, "elapsed since relative rel seconds secs sec second t"},
    {Says::End, "end stop finish created updated received"},
    {Says::Lap, "lap laps runde"},
    {Says::LapNumber, "number no id index nr name"},
    {Says::Kind, "type kind metric measurement parameter quantity variable"},
    {Says::Value, "value values reading"},
};

constexpr std::size_t countWords() {
    std::size_t count = 0;
    for (const Group& group : groups)
        count += static_cast<std::size_t>(std::count(group.words.begin(), group.words.end(), ' ')) + 1;
    return count;
}

struct Word {
    std::string_view text;
    Sayings says;
};

/// All words in order; one that stands in several groups has what all of them say in its first place.
constexpr auto dictionary() {
    std::array<Word, countWords()> words{};
    std::size_t at = 0;
    for (const Group& group : groups)
        for (std::string_view left = group.words; !left.empty(); ++at) {
            const std::size_t end = std::min(left.find(' '), left.size());
            words[at] = {left.substr(0, end), {group.what}};
            left.remove_prefix(std::min(end + 1, left.size()));
        }
    std::sort(words.begin(), words.end(), [](const Word& a, const Word& b) { return a.text < b.text; });
    for (std::size_t i = 1, first = 0; i < words.size(); ++i)
        if (words[i].text == words[first].text)
            words[first].says.add(words[i].says);
        else
            first = i;
    return words;
}

constexpr auto words = dictionary();

bool isUpper(char c) {
    return c >= 'A' && c <= 'Z';
}
bool isLower(char c) {
    return (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80;
}
bool isDigit(char c) {
    return c >= '0' && c <= '9';
}
bool isWordCharacter(char c) {
    return isUpper(c) || isLower(c) || isDigit(c);
}
char lower(char c) {
    return isUpper(c) ? static_cast<char>(c + 32) : c;
}

/// `header` without what stands in brackets, which goes to `unit`.
std::string withoutBrackets(std::string_view header, std::string& unit) {
    std::string outside;
    outside.reserve(header.size());
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
    if (text.find_first_of("/pP") == std::string::npos) return;
    const std::string small = lowered(text);
    for (const auto form : written) {
        const std::size_t at = small.find(form);
        if (at == std::string::npos) continue;
        std::ranges::copy_if(form, std::back_inserter(unit), [](char c) { return c != ' ' && c != '_'; });
        std::fill_n(text.begin() + static_cast<std::ptrdiff_t>(at), form.size(), ' ');
        return;
    }
}

}  // namespace

std::string lowered(std::string_view text) {
    std::string small{text};
    std::ranges::transform(small, small.begin(), lower);
    return small;
}

Sayings sayingsOf(std::string_view word) {
    const auto found = std::lower_bound(words.begin(), words.end(), word,
                                        [](const Word& a, std::string_view b) { return a.text < b; });
    return found != words.end() && found->text == word ? found->says : Sayings{};
}

HeaderWords::HeaderWords(std::string_view header) {
    std::string outside = withoutBrackets(header, unit_);
    takeBareUnit(outside, unit_);
    part(outside);
    // "(hr)" and the like: a header that stands wholly in brackets is no unit.
    if (count_ == 0) part(unit_);
}

void HeaderWords::part(std::string_view text) {
    std::array<char, longestHeader> word{};
    std::size_t length = 0;
    const auto end = [&] {
        if (length == 0) return;
        if (count_ < mostWords) {
            words_[count_] = sayingsOf({word.data(), length});
            all_.add(words_[count_]);
        }
        ++count_;
        length = 0;
    };
    char before = ' ';
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const char behind = i + 1 < text.size() ? text[i + 1] : ' ';
        const bool startsWord = !isWordCharacter(before) || (isUpper(c) && isLower(before)) ||
                                (isUpper(c) && isUpper(before) && isLower(behind)) ||
                                isDigit(c) != isDigit(before);
        if (startsWord || !isWordCharacter(c)) end();
        if (isWordCharacter(c) && length < word.size()) word[length++] = lower(c);
        before = c;
    }
    end();
}

bool HeaderWords::saysPair(Says first, Says second) const {
    for (std::size_t i = 0; i + 1 < std::min(count_, mostWords); ++i)
        if (words_[i].has(first) && words_[i + 1].has(second)) return true;
    return false;
}

bool HeaderWords::unitIs(std::initializer_list<std::string_view> units) const {
    return !unit_.empty() && std::ranges::find(units, std::string_view{unit_}) != units.end();
}

}  // namespace beatwitness::recording::text
