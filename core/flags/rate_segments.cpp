#include "core/flags/rate_segments.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/foundation/text.h"

namespace beatwitness::flags {
namespace {

constexpr std::size_t stepReach_s = 8;
constexpr std::size_t levelSeconds = 3;
constexpr std::size_t longestFlank_s = 10;
constexpr double followingWithin_bpm = 8.0;
constexpr double leastMovement_bpm = 3.0;     ///< sd of a trace below which it tells nothing about following
constexpr double leastCadenceMovement = 1.5;  ///< the same for what a lock on a cadence would show

/// One stretch with all that it is judged by.
class Segment {
public:
    Segment(const SecondTable& table, Stretch stretch, std::span<const std::uint8_t> taken)
        : table_(table), stretch_(stretch), taken_(taken) {}

    [[nodiscard]] Stretch stretch() const { return stretch_; }
    [[nodiscard]] bool counts(std::size_t i) const { return table_.paired[i] && !taken_[i]; }
    [[nodiscard]] double ratio(std::size_t i) const {
        return table_.test.values[i] / table_.reference.values[i];
    }

    /// Takes seconds off both ends until `good` holds there. False where none is left.
    template <class Good>
    bool trim(Good good) {
        const auto fits = [&](std::size_t i) { return counts(i) && good(i); };
        while (stretch_.first < stretch_.last && !fits(stretch_.first))
            ++stretch_.first;
        while (stretch_.last > stretch_.first && !fits(stretch_.last))
            --stretch_.last;
        return fits(stretch_.first);
    }

    template <class Good>
    [[nodiscard]] double shareOf(Good good) const {
        double yes = 0.0, all = 0.0;
        for (std::size_t i = stretch_.first; i <= stretch_.last; ++i) {
            if (!counts(i)) continue;
            all += 1.0;
            if (good(i)) yes += 1.0;
        }
        return all > 0.0 ? yes / all : 0.0;
    }

    template <class Value>
    [[nodiscard]] double meanOf(Value value) const {
        double sum = 0.0, all = 0.0;
        for (std::size_t i = stretch_.first; i <= stretch_.last; ++i) {
            if (!counts(i)) continue;
            sum += value(i);
            all += 1.0;
        }
        return all > 0.0 ? sum / all : 0.0;
    }

    /// The test's step at either end; none where it has no value beyond.
    [[nodiscard]] std::optional<double> stepIn() const {
        if (stretch_.first == 0) return std::nullopt;
        return stepBetween(level(stretch_.first - 1 - flankBefore(), false), level(stretch_.first, true));
    }
    [[nodiscard]] std::optional<double> stepOut() const {
        if (stretch_.last + 1 >= table_.size()) return std::nullopt;
        return stepBetween(level(stretch_.last, false), level(stretch_.last + 1, true));
    }
    /// Adds the wrong seconds of the flanks at both ends.
    void addFlanks(double wrong_bpm) {
        const auto wrong = [&](std::size_t i) { return counts(i) && std::abs(table_.error(i)) >= wrong_bpm; };
        for (std::size_t k = 0; k < longestFlank_s && stretch_.first > 0 && wrong(stretch_.first - 1); ++k)
            --stretch_.first;
        for (std::size_t k = 0;
             k < longestFlank_s && stretch_.last + 1 < table_.size() && wrong(stretch_.last + 1); ++k)
            ++stretch_.last;
    }
    /// The step that tells a fault from a level reached by chance. The one out counts too where the device
    /// followed until the stretch began, or where nothing stands before; unlimited where nothing stands at
    /// either end.
    [[nodiscard]] double tellingStep() const {
        const auto in = stepIn(), out = stepOut();
        if (!in) return out.value_or(1e9);
        return followedUntilThen() ? std::max(*in, out.value_or(0.0)) : *in;
    }

    /// Least-squares slope of the test on `row`, where that moves by at least `leastSd` (standard deviation).
    [[nodiscard]] std::optional<double> slopeOn(const SecondRow& row, double leastSd) const {
        double n = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0;
        for (std::size_t i = stretch_.first; i <= stretch_.last; ++i) {
            if (!counts(i) || !row.valid[i]) continue;
            n += 1.0;
            x += row.values[i];
            y += table_.test.values[i];
            xx += row.values[i] * row.values[i];
            xy += row.values[i] * table_.test.values[i];
        }
        if (n < 5.0) return std::nullopt;
        const double variance = xx / n - (x / n) * (x / n);
        if (variance < leastSd * leastSd) return std::nullopt;
        return (xy / n - (x / n) * (y / n)) / variance;
    }

    [[nodiscard]] std::string from() const {
        return sessionClockText(
            static_cast<double>(table_.first + static_cast<std::int64_t>(stretch_.first)));
    }

private:
    /// Seconds between the last one that followed and the stretch: a device may take some to jump. 0 where it
    /// did not follow shortly before.
    [[nodiscard]] std::size_t flankBefore() const {
        for (std::size_t k = 0; k < longestFlank_s && k < stretch_.first; ++k) {
            const std::size_t i = stretch_.first - 1 - k;
            if (table_.paired[i] && std::abs(table_.error(i)) < followingWithin_bpm) return k;
        }
        return 0;
    }

    [[nodiscard]] bool followedUntilThen() const {
        for (std::size_t i = stretch_.first - std::min<std::size_t>(stretch_.first, 3); i < stretch_.first;
             ++i)
            if (table_.paired[i] && std::abs(table_.error(i)) < followingWithin_bpm) return true;
        return false;
    }

    [[nodiscard]] static std::optional<double> stepBetween(std::optional<double> a, std::optional<double> b) {
        if (!a || !b) return std::nullopt;
        return std::abs(*a - *b);
    }

    /// Mean of the test over some seconds from `at` on, forwards or backwards, within reach.
    [[nodiscard]] std::optional<double> level(std::size_t at, bool forwards) const {
        double sum = 0.0, count = 0.0;
        for (std::size_t k = 0; k < stepReach_s + table_.flank_s && count < static_cast<double>(levelSeconds);
             ++k) {
            if (!forwards && k > at) break;
            const std::size_t i = forwards ? at + k : at - k;
            if (i >= table_.size()) break;
            if (!table_.test.valid[i]) continue;
            // The nearest seconds may lie on the flank that interpolation makes of a step.
            if (k < table_.flank_s) continue;
            sum += table_.test.values[i];
            count += 1.0;
        }
        if (count == 0.0) return std::nullopt;
        return sum / count;
    }

    const SecondTable& table_;
    Stretch stretch_;
    std::span<const std::uint8_t> taken_;
};

bool longEnough(const Segment& segment, double least_s) {
    return static_cast<double>(segment.stretch().seconds()) >= least_s - 1.0;
}

/// One explanation of a stretch and how far off it is.
struct Candidate {
    Finding finding;
    double off_bpm = 0.0;  ///< mean distance of the test from what the explanation predicts
};

std::optional<Candidate> ratioCandidate(const SecondTable& table, Segment segment, bool half,
                                        const Settings& settings) {
    const auto& rate = settings.rate;
    const double lowest = half ? rate.halfLowest : rate.doubleLowest;
    const double highest = half ? rate.halfHighest : rate.doubleHighest;
    const auto fits = [&](std::size_t i) {
        return segment.ratio(i) >= lowest && segment.ratio(i) <= highest;
    };
    if (!segment.trim(fits) || !longEnough(segment, rate.least_s) || segment.shareOf(fits) < rate.share)
        return std::nullopt;
    const double ratio = segment.meanOf([&](std::size_t i) { return segment.ratio(i); });
    const double reference = segment.meanOf([&](std::size_t i) { return table.reference.values[i]; });
    const auto slope = segment.slopeOn(table.reference, leastMovement_bpm);
    const bool stepped = segment.tellingStep() >= rate.entryStep * reference;
    const bool follows = slope && *slope >= rate.leastFollow * ratio;
    if (!stepped && !follows) return std::nullopt;
    const double exact = half ? 0.5 : 2.0;
    const double expected = std::clamp(ratio, 0.97 * exact, 1.03 * exact);
    const double off = segment.meanOf(
        [&](std::size_t i) { return std::abs(table.test.values[i] - expected * table.reference.values[i]); });
    return Candidate{
        {half ? FlagKind::HalfRate : FlagKind::DoubleRate, segment.stretch(), ratio,
         stepped && (!slope || follows) ? 0.97 : 0.7,
         fmt::format("For {} s from {} the device showed {:.2f} times the reference on average{}",
                     segment.stretch().seconds(), segment.from(), ratio,
                     stepped ? ", and stepped there" : "")},
        off};
}

std::optional<Candidate> cadenceCandidate(const SecondTable& table, Segment segment, double multiple,
                                          const SecondRow& cadence, const Settings& settings) {
    const auto& rule = settings.cadence;
    const auto distance = [&](std::size_t i) {
        return std::abs(table.test.values[i] - multiple * cadence.values[i]);
    };
    const auto fits = [&](std::size_t i) { return cadence.valid[i] && distance(i) <= rule.within_bpm; };
    const auto wrong = [&](std::size_t i) { return std::abs(table.error(i)) >= settings.follow.wrong_bpm; };
    if (!segment.trim([&](std::size_t i) { return fits(i) || wrong(i); })) return std::nullopt;
    if (!longEnough(segment, rule.least_s) || segment.shareOf(fits) < rule.share) return std::nullopt;
    const double away = segment.meanOf([&](std::size_t i) { return std::abs(table.error(i)); });
    if (away <= rule.away_bpm) return std::nullopt;
    const auto slope = segment.slopeOn(cadence, leastCadenceMovement / multiple);
    const double step = segment.tellingStep();
    const bool moves = slope && *slope >= 0.6 * multiple && *slope <= 1.4 * multiple;
    if (step < std::max(rule.entryStep_bpm, (moves ? 0.75 : 1.0) * rule.entryShare * away))
        return std::nullopt;
    const double off = segment.meanOf([&](std::size_t i) { return cadence.valid[i] ? distance(i) : 0.0; });
    segment.addFlanks(settings.follow.wrong_bpm);
    return Candidate{
        {FlagKind::CadenceLock, segment.stretch(), multiple, moves ? 0.97 : 0.85,
         fmt::format("For {} s from {} the device stayed within {:.1f} bpm of {} times the cadence on "
                     "average, {:.0f} bpm away from the reference",
                     segment.stretch().seconds(), segment.from(), off, multiple, away)},
        off};
}

/// The explanation that is least far off among those that cover most of what the longest one covers; where
/// one of the other sort is nearly as good, it says so.
std::optional<Finding> bestOf(const std::vector<Candidate>& candidates, double tellingShare) {
    if (candidates.empty()) return std::nullopt;
    std::size_t longest = 0;
    for (const auto& candidate : candidates)
        longest = std::max(longest, candidate.finding.seconds.seconds());
    const auto covers = [&](const Candidate& candidate) {
        return 10 * candidate.finding.seconds.seconds() >= 7 * longest;
    };
    const Candidate* best = nullptr;
    for (const auto& candidate : candidates)
        if (covers(candidate) && (!best || candidate.off_bpm < best->off_bpm)) best = &candidate;
    Finding finding = best->finding;
    const bool lock = finding.kind == FlagKind::CadenceLock;
    for (const auto& other : candidates) {
        if ((other.finding.kind == FlagKind::CadenceLock) == lock || !covers(other)) continue;
        if (best->off_bpm < tellingShare * other.off_bpm) continue;
        finding.confidence = 0.5;
        finding.because +=
            lock ? fmt::format("; at {:.2f} times the reference it could be either of the two",
                               other.finding.magnitude)
                 : fmt::format("; that was {} times the cadence too, so that it could be either",
                               other.finding.magnitude);
        break;
    }
    finding.because += ".";
    return finding;
}

std::optional<Finding> stillSegment(const SecondTable& table, Segment segment, const Settings& settings) {
    const auto whole = segment.stretch();
    double low = 1e9, high = -1e9, worst = 0.0;
    for (std::size_t i = whole.first; i <= whole.last; ++i) {
        if (!segment.counts(i)) continue;
        low = std::min(low, table.reference.values[i]);
        high = std::max(high, table.reference.values[i]);
        worst = std::max(worst, std::abs(table.error(i)));
    }
    if (high - low < settings.stuck.moving_bpm && worst <= settings.stuck.error_bpm) return std::nullopt;
    if (!segment.trim([&](std::size_t i) { return std::abs(table.error(i)) >= settings.follow.wrong_bpm; }))
        return std::nullopt;
    const double value = table.test.values[segment.stretch().first];
    return Finding{
        FlagKind::Stuck, segment.stretch(), static_cast<double>(whole.seconds()), 0.9,
        fmt::format(
            "For {} s the device showed {:.0f} bpm without moving while the reference went from {:.0f} "
            "to {:.0f} bpm.",
            whole.seconds(), value, low, high)};
}

}  // namespace

std::optional<Finding> rateFault(const SecondTable& table, Stretch stretch, const SecondRow& cadence,
                                 std::span<const std::uint8_t> taken, const Settings& settings) {
    const Segment segment{table, stretch, taken};
    std::vector<Candidate> candidates;
    const auto add = [&](std::optional<Candidate> candidate) {
        if (candidate) candidates.push_back(std::move(*candidate));
    };
    add(ratioCandidate(table, segment, true, settings));
    add(ratioCandidate(table, segment, false, settings));
    if (cadence.size() > 0)
        for (const double multiple : {1.0, 2.0, 0.5})
            add(cadenceCandidate(table, segment, multiple, cadence, settings));
    return bestOf(candidates, settings.cadence.tellingShare);
}

std::optional<Finding> standstillFault(const SecondTable& table, Stretch stretch,
                                       std::span<const std::uint8_t> taken, const Settings& settings) {
    return stillSegment(table, Segment{table, stretch, taken}, settings);
}

}  // namespace beatwitness::flags
