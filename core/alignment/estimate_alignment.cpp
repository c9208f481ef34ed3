#include "core/alignment/estimate_alignment.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <functional>

#include "core/alignment/coarse_search.h"
#include "core/alignment/fine_fit.h"
#include "core/alignment/second_grid.h"

namespace beatwitness::alignment {
namespace {

constexpr std::int64_t coarseStep_s = 4;
constexpr std::int64_t zoneStep_s = 6;
constexpr std::int64_t halfHour_s = 1800;
constexpr std::int64_t mostHalfHours = 28;  // zones span UTC-12 to UTC+14
constexpr std::size_t mostCandidates = 8;
constexpr std::size_t mostFitted = 4;
constexpr double sameOffset_s = 0.5;
constexpr double startAside_s = 12.0;
constexpr std::size_t changeWithin_s = 180;
constexpr std::size_t changeStride_s = 5;
constexpr std::int64_t curveReach_s = 30;
constexpr std::int64_t curvePoints = 2000;

/// Both traces, ready to be slid along each other.
struct Grids {
    SecondGrid reference;
    SecondGrid test;
};

Alignment refused(std::string because) {
    Alignment alignment;
    alignment.method = Method::Auto;
    alignment.refusedBecause = std::move(because);
    return alignment;
}

double range95(const SecondGrid& grid) {
    std::vector<double> values;
    for (std::size_t i = 0; i < grid.values.size(); ++i)
        if (grid.valid[i]) values.push_back(grid.values[i]);
    if (values.empty()) return 0.0;
    const auto at = [&](double p) {
        const auto k = static_cast<std::ptrdiff_t>(p * static_cast<double>(values.size() - 1));
        std::nth_element(values.begin(), values.begin() + k, values.end());
        return values[static_cast<std::size_t>(k)];
    };
    const double high = at(0.95);
    return high - at(0.05);
}

/// Changes of at least `least_bpm` within three minutes, one after the other, over the used seconds: a
/// staircase has several, though it never turns.
int steps(const SecondGrid& grid, const UsedSeconds& used, double least_bpm) {
    int count = 0;
    std::size_t from = 0;  // the next one begins here or later
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        for (std::size_t j = std::max(from, i - std::min(i, changeWithin_s)); j < i; j += changeStride_s) {
            if (!used[j] || std::abs(grid.values[i] - grid.values[j]) < least_bpm) continue;
            ++count;
            from = i;
            break;
        }
    }
    return count;
}

/// Swings of at least `least_bpm` from one turn to the next, however slow.
int swings(const SecondGrid& grid, const UsedSeconds& used, double least_bpm) {
    int count = 0, direction = 0;
    double lowest = 1e9, highest = -1e9;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        const double value = grid.values[i];
        lowest = std::min(lowest, value);
        highest = std::max(highest, value);
        const bool rose = direction <= 0 && value - lowest >= least_bpm;
        const bool fell = direction >= 0 && highest - value >= least_bpm;
        if (rose || fell) {
            ++count;
            direction = rose ? 1 : -1;
        }
        // The next swing is measured from this one's far end.
        if (rose || (direction > 0 && value >= highest)) lowest = highest = value;
        if (fell || (direction < 0 && value <= lowest)) lowest = highest = value;
    }
    return count;
}

/// Standard deviation of the reference about its straight line in time, over the used seconds.
double sdAboutLine(const SecondGrid& grid, const UsedSeconds& used) {
    double n = 0, t = 0, v = 0;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        ++n;
        t += static_cast<double>(i);
        v += grid.values[i];
    }
    if (n < 3) return 0.0;
    double tt = 0, tv = 0, vv = 0;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        const double dt = static_cast<double>(i) - t / n, dv = grid.values[i] - v / n;
        tt += dt * dt;
        tv += dt * dv;
        vv += dv * dv;
    }
    return std::sqrt(std::max(0.0, vv - tv * tv / tt) / n);
}

ShiftRange around(std::int64_t centre_s, double radius_s) {
    const auto radius = static_cast<std::int64_t>(radius_s);
    return {centre_s - radius, centre_s + radius};
}

std::vector<ShiftRange> zoneRanges(double radius_s, bool withNone) {
    std::vector<ShiftRange> ranges;
    for (std::int64_t k = -mostHalfHours; k <= mostHalfHours; ++k)
        if (withNone || k != 0) ranges.push_back(around(k * halfHour_s, radius_s));
    return ranges;
}

std::vector<ShiftScore> candidates(const Grids& grids, ClockKnowledge knowledge, const Settings& settings,
                                   const RunControl& run) {
    const auto search = [&](const std::vector<ShiftRange>& ranges, std::int64_t step) {
        return bestShifts(grids.reference, grids.test, ranges, step,
                          static_cast<std::int64_t>(settings.leastOverlap.value), mostCandidates, run);
    };
    const double radius = settings.searchRadius.value;
    switch (knowledge) {
        case ClockKnowledge::Undated:
            return search(
                {{grids.reference.first - grids.test.end(), grids.reference.end() - grids.test.first}},
                coarseStep_s);
        case ClockKnowledge::ZoneUnknown:
            return search(zoneRanges(radius, true), zoneStep_s);
        case ClockKnowledge::Dated:
            break;
    }
    auto near = search({around(0, radius)}, coarseStep_s);
    if (!near.empty() && near.front().score <= settings.worstScore) return near;
    // Nothing near: a whole or half hour may have been mistaken.
    const auto far = search(zoneRanges(radius, false), zoneStep_s);
    near.insert(near.end(), far.begin(), far.end());
    std::ranges::sort(near, {}, &ShiftScore::score);
    return near;
}

/// Far enough inside what was looked through to be a minimum and not its border.
bool atEdge(std::int64_t shift_s, ClockKnowledge knowledge, const Settings& settings) {
    if (knowledge == ClockKnowledge::Undated) return false;
    const auto nearestHalfHour =
        static_cast<std::int64_t>(std::llround(static_cast<double>(shift_s) / halfHour_s)) * halfHour_s;
    return std::abs(shift_s - nearestHalfHour) >
           static_cast<std::int64_t>(settings.searchRadius.value) - coarseStep_s;
}

std::vector<LossPoint> lossCurve(const Grids& grids, const UsedSeconds& used, const ClockFit& fit) {
    std::vector<LossPoint> curve;
    const auto stride = std::max<std::int64_t>(1, grids.reference.size() / curvePoints);
    for (std::int64_t k = -curveReach_s; k <= curveReach_s; ++k) {
        const ClockFit shifted{fit.offset_s + static_cast<double>(k), fit.drift_ppm};
        curve.push_back(
            {Seconds{shifted.offset_s}, rmsAt(grids.reference, grids.test, used, shifted, stride)});
    }
    return curve;
}

/// The best of them, with or without drift.
struct Fitted {
    FineFit fine;
    Drift drift = Drift::None;
    std::optional<FitIntervals> intervals;
};

/// A candidate after least squares, and how much it explains.
struct Contender {
    ShiftScore coarse;
    FineFit fine;
    double explained_nats = 0.0;
};

Contender fitted(const Grids& grids, const ShiftScore& minimum, double start_s, const Settings& settings) {
    Contender contender{minimum, {}, 0.0};
    contender.fine = fineFit(grids.reference, grids.test, {start_s, 0.0}, Drift::None, settings.mask,
                             static_cast<std::int64_t>(settings.bootstrapBlock.value));
    contender.explained_nats = explained(grids.reference, grids.test, contender.fine);
    return contender;
}

void addUnlessThere(std::vector<Contender>& list, Contender contender) {
    const auto same = [&](const Contender& other) {
        return std::abs(other.fine.fit.offset_s - contender.fine.fit.offset_s) < sameOffset_s;
    };
    if (std::ranges::none_of(list, same)) list.push_back(std::move(contender));
}

/// The candidates worth it, fitted, by what they explain.
std::vector<Contender> contenders(const Grids& grids, const std::vector<ShiftScore>& minima,
                                  const Settings& settings) {
    std::vector<Contender> list;
    for (std::size_t i = 0; i < std::min(minima.size(), mostFitted); ++i) {
        const auto& minimum = minima[i];
        // Far worse ones cannot win: least squares only sharpens what the bounded loss has seen.
        if (i > 0 && minimum.score > std::max(0.25, 3 * minima.front().score)) break;
        addUnlessThere(list, fitted(grids, minimum, static_cast<double>(minimum.shift_s), settings));
    }
    // A long lag pulls the bounded loss to its side by up to its length: also start beside the best.
    const auto& best = *std::ranges::max_element(list, {}, &Contender::explained_nats);
    const ShiftScore coarse = best.coarse;
    const double offset_s = best.fine.fit.offset_s;
    for (const double aside_s : {-startAside_s, startAside_s})
        addUnlessThere(list, fitted(grids, coarse, offset_s + aside_s, settings));
    std::ranges::stable_sort(list, std::greater<>{}, &Contender::explained_nats);
    return list;
}

/// Another offset, far from the best, that explains the recordings nearly as well: intervals alias by one
/// period.
std::optional<double> alias(const std::vector<Contender>& list, const Settings& settings) {
    const auto& best = list.front();
    for (std::size_t i = 1; i < list.size(); ++i) {
        const double apart = std::abs(list[i].fine.fit.offset_s - best.fine.fit.offset_s);
        if (apart > settings.aliasDistance.value &&
            list[i].explained_nats >= (1 - settings.aliasMargin) * best.explained_nats)
            return list[i].fine.fit.offset_s;
    }
    return std::nullopt;
}

/// With drift where the session is long enough and the drift's interval excludes none; else without.
Fitted withDriftIfSeen(const Grids& grids, const FineFit& best, const Settings& settings) {
    Fitted constant{best, Drift::None, bootstrapIntervals(best, Drift::None, settings.bootstrapReplicates)};
    if (static_cast<double>(best.commonSeconds) < settings.driftFrom.value) return constant;
    Fitted drifting;
    drifting.drift = Drift::Fitted;
    drifting.fine = fineFit(grids.reference, grids.test, best.fit, Drift::Fitted, settings.mask,
                            static_cast<std::int64_t>(settings.bootstrapBlock.value));
    drifting.intervals = bootstrapIntervals(drifting.fine, Drift::Fitted, settings.bootstrapReplicates);
    if (!drifting.intervals || !drifting.intervals->drift_ppm) return constant;
    const auto& interval = *drifting.intervals->drift_ppm;
    const double halfWidth = (interval.upper - interval.lower) / 2;
    if (std::abs(drifting.fine.fit.drift_ppm) < settings.driftBeyond * halfWidth) {
        // A drift too small to be seen may still be there: the offset at t0 is as uncertain as with it.
        if (constant.intervals) {
            constant.intervals->drift_ppm = interval;
            auto& offset = constant.intervals->offset_s;
            offset.lower = std::min(offset.lower, drifting.intervals->offset_s.lower);
            offset.upper = std::max(offset.upper, drifting.intervals->offset_s.upper);
        }
        return constant;
    }
    return drifting;
}

/// Why the estimate at hand cannot be trusted; nullopt where it can.
std::optional<std::string> doubt(const Grids& grids, const std::vector<Contender>& list, const Fitted& fitted,
                                 ClockKnowledge knowledge, const Settings& settings) {
    const auto& best = list.front().coarse;
    const auto& fine = fitted.fine;
    if (best.score > settings.worstScore)
        return fmt::format(
            "The two recordings do not follow each other under any offset looked at (at best {:.0f} % of the "
            "disagreement of unrelated recordings is left, where at most {:.0f} % is accepted).",
            100 * std::min(best.score, 1.0), 100 * settings.worstScore);
    if (atEdge(best.shift_s, knowledge, settings))
        return fmt::format(
            "The best offset, {:+} s, lies at the edge of what was looked through (±{:.0f} s around whole "
            "and "
            "half hours).",
            best.shift_s, settings.searchRadius.value);
    if (static_cast<double>(fine.commonSeconds) < settings.leastOverlap.value)
        return fmt::format("The recordings share only {} s; at least {:.0f} s are needed.",
                           fine.commonSeconds, settings.leastOverlap.value);
    const auto common = static_cast<double>(fine.commonSeconds);
    const double used = static_cast<double>(fine.usedSeconds) / common;
    if (used < settings.leastUsed)
        return fmt::format(
            "The device follows the reference in only {:.1f} % of the common time; at least {:.0f} % are "
            "needed.",
            100 * used, 100 * settings.leastUsed);
    if (const double explained = list.front().explained_nats / common; explained < settings.leastExplained)
        return fmt::format(
            "The recordings do not look like one workout: following each other explains {:.1f} nats a "
            "second, "
            "at least {:.1f} are needed.",
            explained, settings.leastExplained);
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

bool tooLong(const trace::SessionTrace& trace) {
    return trace.seconds.back() - trace.seconds.front() >= static_cast<double>(longestGrid_s - 1) ||
           std::abs(trace.seconds.front()) > 1e12;
}

}  // namespace

std::string_view methodName(Method method) {
    switch (method) {
        case Method::Auto:
            return "auto";
        case Method::Offset:
            return "offset";
        case Method::None:
            return "none";
    }
    assert(false);
    return "none";
}

Result<Alignment> estimateAlignment(const trace::Trace<ReferenceClock>& reference,
                                    const trace::Trace<TestClock>& test, ClockKnowledge knowledge,
                                    std::span<const trace::SessionSpan> leftOut,
                                    const trace::PairingSettings& pairing, const Settings& settings,
                                    const RunControl& run) {
    const ReferenceTime t0 = reference.times.front();
    const auto referenceTrace = trace::onSessionClock(reference, t0, pairing);
    const auto testTrace = onSessionClock(test, ClockCorrection{t0, {}, {}}, pairing);
    if (tooLong(referenceTrace) || tooLong(testTrace))
        return refused("The recordings span more than two weeks.");
    const auto referenceRates = trace::atWholeSeconds(referenceTrace);
    const auto testRates = trace::atWholeSeconds(testTrace);
    if (referenceRates.seconds.empty() || testRates.seconds.empty())
        return refused("The samples lie too far apart to be compared second by second.");
    const Grids grids{smoothedGrid(referenceRates, settings.smoothing, leftOut),
                      smoothedGrid(testRates, settings.smoothing)};
    run.progress(0.1);

    if (const double range = range95(grids.reference); range < settings.leastRange.value)
        return refused(fmt::format(
            "The reference is too flat: its 5th to 95th percentile spans {:.0f} bpm, at least {:.0f} bpm "
            "are needed to see a shift.",
            range, settings.leastRange.value));
    const auto minima = candidates(grids, knowledge, settings, run);
    if (run.stopRequested()) return cancelled();
    run.progress(0.6);
    if (minima.empty())
        return refused(fmt::format(
            "The recordings do not overlap by the {:.0f} s that are needed, whatever whole or half hour "
            "their clocks may be off.",
            settings.leastOverlap.value));

    const auto list = contenders(grids, minima, settings);
    const Fitted fitted = withDriftIfSeen(grids, list.front().fine, settings);
    if (run.stopRequested()) return cancelled();
    run.progress(0.9);
    Alignment alignment;
    alignment.method = Method::Auto;
    alignment.lossCurve = lossCurve(grids, fitted.fine.used, fitted.fine.fit);
    alignment.refusedBecause = doubt(grids, list, fitted, knowledge, settings);
    run.progress(1.0);
    if (alignment.refusedBecause) return alignment;
    alignment.correction =
        ClockCorrection{t0, Seconds{fitted.fine.fit.offset_s}, Ppm{fitted.fine.fit.drift_ppm}};
    alignment.offsetInterval_s = fitted.intervals->offset_s;
    alignment.driftInterval_ppm = fitted.intervals->drift_ppm;
    alignment.confidence = fitted.intervals->withinOneSecond;
    return alignment;
}

}  // namespace beatwitness::alignment
