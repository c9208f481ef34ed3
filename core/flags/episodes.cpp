#include "core/flags/episodes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/foundation/text.h"

namespace beatwitness::flags {
namespace {

constexpr std::size_t baselineFrom_s = 14, baselineTo_s = 3, leastBaseline_s = 4;

bool counts(const SecondTable& table, std::size_t i, std::span<const std::uint8_t> taken) {
    return table.paired[i] && !taken[i];
}

struct Levels {
    double reference = 0.0, test = 0.0;
};

/// Mean of both traces shortly before the episode; further back where nothing counts there.
std::optional<Levels> levelsBefore(const SecondTable& table, Stretch episode,
                                   std::span<const std::uint8_t> taken) {
    for (const std::size_t further : {0u, 15u, 45u}) {
        Levels sum;
        double count = 0.0;
        const std::size_t from = episode.first - std::min(episode.first, baselineFrom_s + further);
        const std::size_t to = episode.first - std::min(episode.first, baselineTo_s);
        for (std::size_t i = from; i < to; ++i) {
            if (!counts(table, i, taken)) continue;
            sum.reference += table.reference.values[i];
            sum.test += table.test.values[i] - table.bias_bpm;
            count += 1.0;
        }
        if (count >= static_cast<double>(leastBaseline_s))
            return Levels{sum.reference / count, sum.test / count};
    }
    return std::nullopt;
}

/// Mean error against the reference `by` seconds ago; nothing where less than half of the episode has one.
std::optional<double> errorLate(const SecondTable& table, Stretch episode,
                                std::span<const std::uint8_t> taken, std::size_t by) {
    double sum = 0.0, count = 0.0;
    for (std::size_t i = std::max(episode.first, by); i <= episode.last; ++i) {
        if (!counts(table, i, taken) || !table.reference.valid[i - by]) continue;
        sum += std::abs(table.test.values[i] - table.bias_bpm - table.reference.values[i - by]);
        count += 1.0;
    }
    if (count < 0.5 * static_cast<double>(episode.seconds())) return std::nullopt;
    return sum / count;
}

/// The episode with some of what comes after it: a device that is late is still late there, one that missed a
/// rise is back.
Stretch withAftermath(const SecondTable& table, Stretch episode) {
    constexpr std::size_t least = 15, most = 45;
    const std::size_t more = std::clamp(episode.seconds() / 2, least, most);
    return {episode.first, std::min(episode.last + more, table.size() - 1)};
}

void fitLag(const SecondTable& table, Stretch episode, std::span<const std::uint8_t> taken,
            const EffortSettings& settings, EpisodeFit& fit) {
    fit.error_bpm = errorLate(table, episode, taken, 0).value_or(0.0);
    fit.errorLate_bpm = fit.error_bpm;
    for (std::size_t by = 1; by <= static_cast<std::size_t>(settings.mostLag_s); ++by) {
        const auto error = errorLate(table, episode, taken, by);
        if (!error || *error >= fit.errorLate_bpm) continue;
        fit.errorLate_bpm = *error;
        fit.lag_s = static_cast<double>(by);
    }
    const Stretch window = withAftermath(table, episode);
    const double whole = errorLate(table, window, taken, 0).value_or(0.0);
    const auto late = errorLate(table, window, taken, static_cast<std::size_t>(fit.lag_s));
    fit.leftLater = late && whole > 0.0 ? *late / whole : 1.0;
}

/// Least squares of the test on the reference over the episode.
struct Line {
    double slope = 1.0;
    double atZero = 0.0;  ///< of both less their levels before
};

/// With a level of its own where the reference moves enough in the episode to tell it; else through the
/// levels before.
Line lineOf(const std::vector<std::pair<double, double>>& departures) {
    constexpr double leastSd_bpm = 5.0;
    double n = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0;
    for (const auto& [r, t] : departures) {
        n += 1.0;
        x += r;
        y += t;
        xx += r * r;
        xy += r * t;
    }
    if (n == 0.0 || xx == 0.0) return {};
    const double variance = xx / n - (x / n) * (x / n);
    if (variance < leastSd_bpm * leastSd_bpm) return {xy / xx, 0.0};
    const double slope = (xy / n - (x / n) * (y / n)) / variance;
    return {slope, y / n - slope * x / n};
}

/// Least squares through the levels before.
double shareOf(const std::vector<std::pair<double, double>>& departures) {
    double xx = 0.0, xy = 0.0;
    for (const auto& [r, t] : departures) {
        xx += r * r;
        xy += r * t;
    }
    return xx > 0.0 ? xy / xx : 1.0;
}

/// How far the test came on the way of the change, as a share of it, in [first, last].
double reachedIn(const SecondTable& table, std::size_t first, std::size_t last,
                 std::span<const std::uint8_t> taken, const Levels& before, double change_bpm) {
    double recent = 0.0, furthest = 0.0;
    for (std::size_t i = first; i <= last; ++i) {
        if (!counts(table, i, taken)) continue;
        recent += 0.25 * (table.test.values[i] - table.bias_bpm - before.test - recent);
        furthest = std::max(furthest, recent / change_bpm);
    }
    return furthest;
}

/// The test's furthest departure from the reference's level before, as a share of the reference's own.
double peakReached(const SecondTable& table, Stretch window, std::span<const std::uint8_t> taken,
                   double level_bpm, double sign) {
    double test = 0.0, reference = 0.0;
    for (std::size_t i = window.first; i <= window.last; ++i) {
        if (!counts(table, i, taken)) continue;
        test = std::max(test, sign * (table.test.values[i] - table.bias_bpm - level_bpm));
        reference = std::max(reference, sign * (table.reference.values[i] - level_bpm));
    }
    return reference > 0.0 ? test / reference : 0.0;
}

void fitShare(const SecondTable& table, Stretch episode, std::span<const std::uint8_t> taken,
              const Levels& before, const EffortSettings& settings, EpisodeFit& fit) {
    // The way back at the end is not following.
    const std::size_t lastSeconds = std::max<std::size_t>(6, episode.seconds() / 10);
    std::vector<std::pair<double, double>> departures;
    const std::size_t tail = episode.last - std::min(episode.last - episode.first, lastSeconds);
    for (std::size_t i = episode.first; i <= episode.last; ++i) {
        if (!counts(table, i, taken)) continue;
        const double r = table.reference.values[i] - before.reference;
        if (std::abs(r) > std::abs(fit.change_bpm)) fit.change_bpm = r;
        if (i > tail && departures.size() > lastSeconds) continue;
        departures.emplace_back(r, table.test.values[i] - table.bias_bpm - before.test);
    }
    const Line line = lineOf(departures);
    // The line is blind to a level taken wrongly before, the share of the levels to noise of the reference:
    // their mean.
    fit.share = 0.5 * (line.slope + shareOf(departures));
    double sum = 0.0;
    for (const auto& [r, t] : departures)
        sum += std::abs(t - line.atZero - line.slope * r);
    if (!departures.empty()) fit.errorShare_bpm = sum / static_cast<double>(departures.size());
    if (fit.change_bpm == 0.0) return;
    const auto later = static_cast<std::size_t>(settings.mostLag_s / 2);
    fit.reached = reachedIn(table, episode.first, tail, taken, before, fit.change_bpm);
    fit.reachedSoon = peakReached(table, {episode.first, std::min(episode.last + 10, table.size() - 1)},
                                  taken, before.reference, fit.change_bpm > 0.0 ? 1.0 : -1.0);
    fit.reachedLater = reachedIn(table, episode.first, std::min(episode.last + later, table.size() - 1),
                                 taken, before, fit.change_bpm);
}

double confidenceOf(double chosen_bpm, double other_bpm) {
    if (other_bpm <= 0.0) return 0.5;
    return std::clamp(1.0 - 0.6 * chosen_bpm / other_bpm, 0.3, 0.99);
}

std::string timeText(const SecondTable& table, std::size_t i) {
    return sessionClockText(static_cast<double>(table.first + static_cast<std::int64_t>(i)));
}

Finding missedRise(const SecondTable& table, Stretch episode, const EpisodeFit& fit) {
    return {
        FlagKind::MissedRise, episode, fit.share, confidenceOf(fit.errorShare_bpm, fit.errorLate_bpm),
        fmt::format(
            "From {} the reference rose by {:.0f} bpm, and within {} s the device followed {:.0f} % of it.",
            timeText(table, episode.first), fit.change_bpm, episode.seconds(),
            100 * std::max(fit.share, 0.0))};
}

/// Whether the device is still in the rise that it missed shortly before: measured from the levels before
/// that rise, it follows as little of the reference as it did then.
std::optional<Finding> stillMissed(const SecondTable& table, Stretch before, Stretch now,
                                   std::span<const std::uint8_t> taken, const EffortSettings& settings) {
    constexpr std::size_t soon_s = 60;
    if (now.first > before.last + soon_s) return std::nullopt;
    const auto levels = levelsBefore(table, before, taken);
    if (!levels) return std::nullopt;
    EpisodeFit fit;
    fit.error_bpm = errorLate(table, now, taken, 0).value_or(0.0);
    fitShare(table, now, taken, *levels, settings, fit);
    if (std::abs(fit.change_bpm) < settings.leastChange_bpm || std::abs(fit.share) >= settings.missedShare ||
        fit.reached >= 0.5 || fit.errorShare_bpm >= std::max(3.0, settings.shareLeaves * fit.error_bpm))
        return std::nullopt;
    return Finding{FlagKind::MissedRise, now, fit.share, 0.6,
                   fmt::format("From {} the device is still in the rise that it missed before, and shows "
                               "{:.0f} % of {:.0f} bpm.",
                               timeText(table, now.first), 100 * std::max(fit.share, 0.0), fit.change_bpm)};
}

Finding lag(const SecondTable& table, Stretch episode, const EpisodeFit& fit) {
    return {FlagKind::Lag, episode, fit.lag_s, confidenceOf(fit.errorLate_bpm, fit.error_bpm),
            fmt::format(
                "From {} the device follows a change of {:.0f} bpm about {:.0f} s late: so shifted, its mean "
                "error is {:.1f} instead of {:.1f} bpm.",
                timeText(table, episode.first), fit.change_bpm, fit.lag_s, fit.errorLate_bpm, fit.error_bpm)};
}

Finding damped(const SecondTable& table, Stretch episode, const EpisodeFit& fit) {
    return {FlagKind::Damped, episode, fit.share, confidenceOf(fit.errorShare_bpm, fit.error_bpm),
            fmt::format(
                "From {} the reference changed by {:.0f} bpm, and the device showed {:.0f} % of that change.",
                timeText(table, episode.first), fit.change_bpm, 100 * fit.share)};
}

}  // namespace

EpisodeFit fitEpisode(const SecondTable& table, Stretch episode, std::span<const std::uint8_t> taken,
                      const EffortSettings& settings) {
    EpisodeFit fit;
    fitLag(table, episode, taken, settings, fit);
    fit.errorShare_bpm = fit.error_bpm;
    const auto before = levelsBefore(table, episode, taken);
    if (!before) return fit;
    fit.baseline_bpm = before->reference;
    fitShare(table, episode, taken, *before, settings, fit);
    return fit;
}

std::optional<Finding> explainEpisode(const SecondTable& table, Stretch episode,
                                      std::span<const std::uint8_t> taken,
                                      const std::optional<Stretch>& missedBefore, const Settings& settings) {
    const auto& effort = settings.effort;
    if (static_cast<double>(episode.seconds()) < effort.least_s) return std::nullopt;
    const auto fit = fitEpisode(table, episode, taken, effort);
    const auto still =
        missedBefore ? stillMissed(table, *missedBefore, episode, taken, effort) : std::nullopt;
    // The beginning of a change goes unseen until the error is large enough to begin an episode.
    const double unseen_bpm = settings.follow.wrong_bpm;
    if (!fit.baseline_bpm || std::abs(fit.change_bpm) + unseen_bpm < effort.leastChange_bpm) return still;
    const bool fitsShare = fit.errorShare_bpm < std::max(3.0, effort.shareLeaves * fit.error_bpm);
    const bool never = std::abs(fit.share) < effort.missedShare && fit.reached < 0.5;
    const bool late = fit.lag_s >= effort.leastLag_s - 1.0 && fit.reachedLater >= effort.lagReaches &&
                      fit.errorLate_bpm <= 1.2 * fit.errorShare_bpm + 1.0;
    // A level that stays is the reference of long ago as well: only what comes after tells.
    const bool moved = !never && fit.reached >= 0.45 && fit.lag_s <= 60.0;
    const bool within = fit.lag_s <= 0.75 * static_cast<double>(episode.seconds());
    const bool stillLate = moved || (within && fit.leftLater < effort.leftLater);
    if (late && stillLate && fit.errorLate_bpm < effort.lagLeaves * fit.error_bpm)
        return lag(table, episode, fit);
    // The smoothing of a sound device clips a short peak; that is a fault only where too little of it is
    // reached.
    const bool brief = static_cast<double>(episode.seconds()) < effort.brief_s;
    const bool clipped = fit.reachedSoon >= effort.briefShare;
    const bool veryBrief = static_cast<double>(episode.seconds()) < 0.5 * effort.brief_s;
    if (never && fitsShare && fit.change_bpm + unseen_bpm >= effort.leastRise_bpm && !(veryBrief && clipped))
        return missedRise(table, episode, fit);
    if (still) return still;
    if (brief && clipped) return std::nullopt;
    const bool partly = fit.share >= effort.missedShare && fit.share < effort.dampedShare;
    if (partly && fitsShare && static_cast<double>(episode.seconds()) >= 2 * effort.least_s)
        return damped(table, episode, fit);
    return std::nullopt;
}

std::vector<Finding> adriftIn(const SecondTable& table, std::span<const std::uint8_t> taken,
                              const Settings& settings) {
    const auto& adrift = settings.adrift;
    const auto away = [&](std::size_t i) {
        return counts(table, i, taken) &&
               std::abs(table.smoothError[i]) >
                   std::max(adrift.away_bpm, adrift.awayShare * table.reference.values[i]);
    };
    std::vector<Stretch> stretches;
    for (std::size_t i = 0; i < table.size(); ++i) {
        if (!away(i)) continue;
        const bool joins = !stretches.empty() &&
                           static_cast<double>(i - stretches.back().last) <= settings.join_s &&
                           std::none_of(taken.begin() + static_cast<std::ptrdiff_t>(stretches.back().last),
                                        taken.begin() + static_cast<std::ptrdiff_t>(i),
                                        [](std::uint8_t owner) { return owner != 0; });
        if (joins)
            stretches.back().last = i;
        else
            stretches.push_back({i, i});
    }
    std::vector<Finding> findings;
    for (const auto& stretch : stretches) {
        if (static_cast<double>(stretch.seconds()) < adrift.least_s) continue;
        double sum = 0.0, count = 0.0;
        for (std::size_t i = stretch.first; i <= stretch.last; ++i)
            if (counts(table, i, taken)) {
                sum += std::abs(table.error(i) + table.bias_bpm);
                count += 1.0;
            }
        findings.push_back(
            {FlagKind::Adrift, stretch, sum / count, 0.6,
             fmt::format(
                 "From {} the device is off by {:.0f} bpm on average for {} s, and no other kind of fault "
                 "explains it.",
                 timeText(table, stretch.first), sum / count, stretch.seconds())});
    }
    return findings;
}

std::optional<Stretch> wrongPart(const SecondTable& table, Stretch stretch,
                                 std::span<const std::uint8_t> taken, double wrong_bpm, bool grow) {
    const auto wrong = [&](std::size_t i) {
        return counts(table, i, taken) && std::abs(table.smoothError[i]) >= wrong_bpm;
    };
    while (stretch.first < stretch.last && !wrong(stretch.first))
        ++stretch.first;
    while (stretch.last > stretch.first && !wrong(stretch.last))
        --stretch.last;
    if (!wrong(stretch.first)) return std::nullopt;
    if (!grow) return stretch;
    while (stretch.first > 0 && wrong(stretch.first - 1))
        --stretch.first;
    while (stretch.last + 1 < table.size() && wrong(stretch.last + 1))
        ++stretch.last;
    return stretch;
}

}  // namespace beatwitness::flags
