#include "core/alignment/doubt.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/alignment/movement.h"

namespace beatwitness::alignment {

namespace {

/// Another offset, far from the best, that explains the recordings nearly as well: intervals alias by one
/// period.
std::optional<double> alias(const std::vector<Contender>& list, const Settings& settings) {
    const auto& best = list.front();
    for (std::size_t i = 1; i < list.size(); ++i) {
        const double later = list[i].fine.fit.offset_s - best.fine.fit.offset_s;
        // Under a somewhat earlier one the device would lead: contenders() has passed it over for that.
        const bool wouldLead = later < 0 && later >= -settings.longestLag.value;
        if (std::abs(later) > settings.aliasDistance.value && !wouldLead &&
            list[i].explained_nats >= (1 - settings.aliasMargin) * best.explained_nats)
            return list[i].fine.fit.offset_s;
    }
    return std::nullopt;
}

}  // namespace

double coverOf(const Grids& grids, const FineFit& fine) {
    const auto held = [](const SecondGrid& grid) { return std::ranges::count(grid.valid, 1); };
    const auto shorter = std::min(held(grids.reference), held(grids.test));
    return static_cast<double>(fine.commonSeconds) / std::max(1.0, static_cast<double>(shorter));
}

std::optional<std::string> doubt(const Grids& grids, const std::vector<Contender>& list, const Fitted& fitted,
                                 ClockKnowledge knowledge, const Settings& settings) {
    const auto& best = list.front().coarse;
    const auto& fine = fitted.fine;
    if (best.score > settings.worstScore)
        return fmt::format(
            "The two recordings do not follow each other under any offset looked at (at best {:.0f} % of the "
            "disagreement of unrelated recordings is left, where at most {:.0f} % is accepted).",
            100 * std::min(best.score, 1.0), 100 * settings.worstScore);
    const auto shift_s = static_cast<std::int64_t>(std::llround(fine.fit.offset_s));
    if (atEdge(shift_s, knowledge, settings))
        return fmt::format(
            "The best offset, {:+} s, lies at the edge of what was looked through (±{:.0f} s around whole "
            "and "
            "half hours).",
            shift_s, settings.searchRadius.value);
    if (static_cast<double>(fine.commonSeconds) < settings.leastOverlap.value)
        return fmt::format("The recordings share only {} s; at least {:.0f} s are needed.",
                           fine.commonSeconds, settings.leastOverlap.value);
    const auto common = static_cast<double>(fine.commonSeconds);
    const double used = static_cast<double>(fine.usedSeconds) / common;
    if (used < settings.leastUsed)
        return fmt::format(
            "The device follows the reference in only {:.1f} % of the common time; at least {:.0f} % are "
            "needed.",
            std::floor(1000 * used) / 10, 100 * settings.leastUsed);
    const double asked =
        settings.leastExplained + settings.partialCosts * (1 - std::min(1.0, coverOf(grids, fine)));
    if (const double explained = list.front().explained_nats / common; explained < asked)
        return fmt::format(
            "The recordings do not look like one workout: following each other explains {:.1f} nats a "
            "second, at least {:.1f} are needed for what they have in common.",
            explained, asked);
    const double least_bpm = settings.leastChange.value;
    const int turns =
        std::max(steps(grids.reference, fine.used, least_bpm), swings(grids.reference, fine.used, least_bpm));
    if (turns < 1)
        return fmt::format("The reference shows no change of at least {:.0f} bpm that the device follows.",
                           least_bpm);
    if (const double bend = sdAboutLine(grids.reference, fine.used); bend < settings.leastBend.value)
        return fmt::format(
            "The reference is close to a straight ramp ({:.1f} bpm about its line, at least {:.0f} bpm are "
            "needed): "
            "there a shift cannot be told from a bias.",
            bend, settings.leastBend.value);
    if (const auto other = alias(list, settings))
        return fmt::format(
            "Two offsets explain the recordings nearly equally well, {:+.0f} s and {:+.0f} s: the effort "
            "repeats itself.",
            fine.fit.offset_s, *other);
    if (!fitted.intervals)
        return "The two recordings share too little movement for an interval of the offset.";
    const auto& interval = fitted.intervals->offset_s;
    if (interval.upper - interval.lower > settings.widestInterval.value)
        return fmt::format(
            "The offset is too uncertain: its 95 % interval is {:.1f} s wide, at most {:.0f} s are accepted.",
            interval.upper - interval.lower, settings.widestInterval.value);
    return std::nullopt;
}

}  // namespace beatwitness::alignment
