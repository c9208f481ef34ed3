#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>

namespace beatwitness::recording::text {

/// What one word of a header can say. A word may say several of these: "min" is a limit and a unit.
enum class Says {
    Derived,  ///< a summary, a limit or a judgement of a quantity
    NoRate,   ///< what makes "pulse" or "bpm" something else than a heart rate
    HeartRate,
    Heart,
    RateBehindHeart,
    NoInterval,
    Interval,
    R,
    Beat,  ///< before "interval"
    IntervalBehindBeat,
    Cadence,
    Step,  ///< before "rate"
    Rate,
    Power,
    OneSided,
    Speed,
    Vertical,
    Altitude,
    GainOrLoss,
    Distance,
    Kmh,
    Hour,  ///< behind kilometres
    Mph,
    Knots,
    Kilometres,
    Miles,
    Feet,
    Centimetres,
    Millis,
    Micros,
    Nanos,
    Minutes,
    Hours,
    Seconds,
    NoTime,
    Time,
    ClearlyTime,
    TimeAlone,  ///< only where nothing else stands beside it
    Utc,
    Elapsed,
    End,
    Lap,
    LapNumber,
    Kind,
    Value,
};

/// A set of what words say.
class Sayings {
public:
    constexpr Sayings() = default;
    constexpr Sayings(std::initializer_list<Says> all) {
        for (const Says one : all)
            bits_ |= bit(one);
    }
    [[nodiscard]] constexpr bool has(Says one) const { return (bits_ & bit(one)) != 0; }
    [[nodiscard]] constexpr bool hasAny(Sayings others) const { return (bits_ & others.bits_) != 0; }
    constexpr void add(Sayings others) { bits_ |= others.bits_; }

private:
    static constexpr std::uint64_t bit(Says one) { return std::uint64_t{1} << static_cast<int>(one); }
    std::uint64_t bits_ = 0;
};

/// A to Z made small, whatever the locale; other bytes stay.
[[nodiscard]] std::string lowered(std::string_view text);

/// What `word` (lower case) says by itself; nothing for a word that nobody taught us.
[[nodiscard]] Sayings sayingsOf(std::string_view word);

/// The words of a header and, apart from them, its unit: what stands in brackets or reads like "beats/min".
///
/// Words end at anything that is no letter or digit, at a change from lower to upper case and between letters
/// and digits.
class HeaderWords {
public:
    static constexpr std::size_t longestHeader = 80, mostWords = 8;

    /// Requires: at most `longestHeader` bytes.
    explicit HeaderWords(std::string_view header);

    /// Words there are; more than `mostWords` are counted, but say nothing.
    [[nodiscard]] std::size_t count() const { return count_; }
    [[nodiscard]] bool says(Says one) const { return all_.has(one); }
    [[nodiscard]] bool saysAny(Sayings some) const { return all_.hasAny(some); }
    /// True where a word that says `first` stands right before one that says `second`.
    [[nodiscard]] bool saysPair(Says first, Says second) const;
    [[nodiscard]] const std::string& unit() const { return unit_; }  ///< lower case, without blanks
    [[nodiscard]] bool unitIs(std::initializer_list<std::string_view> units) const;
    /// The unit, or a word in its place.
    [[nodiscard]] bool unitOrWord(std::initializer_list<std::string_view> units, Says word) const {
        return says(word) || unitIs(units);
    }

private:
    void part(std::string_view text);

    std::array<Sayings, mostWords> words_;
    std::size_t count_ = 0;
    Sayings all_;
    std::string unit_;
};

}  // namespace beatwitness::recording::text
