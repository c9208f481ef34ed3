#include "core/alignment/estimate_alignment.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/alignment/contenders.h"
#include "core/alignment/doubt.h"
#include "core/alignment/movement.h"
#include "core/alignment/second_grid.h"

namespace beatwitness::alignment {
namespace {

constexpr std::int64_t curveReach_s = 30;
constexpr std::int64_t curvePoints = 2000;
constexpr double convincingCover = 0.5;  // with less in common, another hour may fit better

Alignment refused(std::string because) {
    Alignment alignment;
    alignment.method = Method::Auto;
    alignment.refusedBecause = std::move(because);
    return alignment;
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

/// With drift where the session is long enough and the drift's interval excludes none; else without.
Fitted withDriftIfSeen(const Grids& grids, const FineFit& best, const Settings& settings) {
    Fitted constant{best, Drift::None, bootstrapIntervals(best, Drift::None, settings.bootstrapReplicates)};
    if (static_cast<double>(best.commonSeconds) < settings.driftFrom.value) return constant;
    Fitted drifting;
    drifting.drift = Drift::Fitted;
    drifting.fine = fineFit(grids.reference, grids.shown, grids.test, best.fit, Drift::Fitted, settings.mask,
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

/// The best of some shifts, and what speaks against it.
struct Attempt {
    Fitted fitted;
    std::optional<std::string> doubt;
};

Attempt attempt(Grids& grids, const std::vector<ShiftScore>& minima, ClockKnowledge knowledge,
                Settings settings) {
    auto list = contenders(grids, minima, settings);
    const auto smoothing = smoothingOf(grids.reference, grids.test, list.front().fine.fit);
    if (smoothing.tau_s > 0) {
        grids.shown = shownBy(grids.reference, smoothing, settings.mask.tolerance_s);
        settings.mask.lag_s += smoothing.tau_s / 2;  // a sharp turn that is cut asks for a shift of its own
        list = contenders(grids, minima, settings);
    }
    Attempt result{withDriftIfSeen(grids, list.front().fine, settings), {}};
    result.doubt = doubt(grids, list, result.fitted, knowledge, settings);
    return result;
}

/// Among the nearest shifts; where those do not convince, a whole or half hour may have been mistaken.
std::optional<Attempt> bestAttempt(Grids& grids, ClockKnowledge knowledge, const Settings& settings,
                                   const RunControl& run) {
    std::optional<Attempt> near;
    auto minima = nearestShifts(grids, knowledge, settings, run);
    if (run.stopRequested()) return std::nullopt;
    run.progress(0.4);
    if (!minima.empty()) near = attempt(grids, minima, knowledge, settings);
    const bool convinces = near && !near->doubt && coverOf(grids, near->fitted.fine) >= convincingCover;
    if (knowledge != ClockKnowledge::Dated || convinces || run.stopRequested()) return near;
    const auto all = zoneShifts(grids, settings, run);
    if (all.empty() || run.stopRequested()) return near;
    run.progress(0.8);
    grids.shown = shownBy(grids.reference, {}, settings.mask.tolerance_s);
    return attempt(grids, all, knowledge, settings);
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
    Grids grids{smoothedGrid(referenceRates, settings.smoothing, leftOut),
                smoothedGrid(testRates, settings.smoothing),
                {}};
    grids.shown = shownBy(grids.reference, {}, settings.mask.tolerance_s);
    run.progress(0.1);

    if (const double range = range95(grids.reference); range < settings.leastRange.value)
        return refused(fmt::format(
            "The reference is too flat: its 5th to 95th percentile spans {:.0f} bpm, at least {:.0f} bpm "
            "are needed to see a shift.",
            range, settings.leastRange.value));
    const auto best = bestAttempt(grids, knowledge, settings, run);
    if (run.stopRequested()) return cancelled();
    run.progress(0.9);
    if (!best)
        return refused(fmt::format(
            "The recordings do not overlap by the {:.0f} s that are needed, whatever whole or half hour "
            "their clocks may be off.",
            settings.leastOverlap.value));

    const auto& fitted = best->fitted;
    Alignment alignment;
    alignment.method = Method::Auto;
    alignment.lossCurve = lossCurve(grids, fitted.fine.used, fitted.fine.fit);
    alignment.refusedBecause = best->doubt;
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
