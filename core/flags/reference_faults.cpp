#include "core/flags/reference_faults.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/flags/dropouts.h"
#include "core/flags/flag_order.h"
#include "core/flags/own_jumps.h"
#include "core/flags/still_runs.h"
#include "core/foundation/text.h"

namespace beatwitness::flags {
namespace {

/// Whole seconds strictly between the sound samples at both ends of [first, last].
trace::SessionSpan wrongSeconds(const trace::SessionTrace& trace, std::size_t first, std::size_t last) {
    const double before_s = first > 0 ? trace.seconds[first - 1] : trace.seconds[first] - 1.0;
    const double after_s =
        last + 1 < trace.seconds.size() ? trace.seconds[last + 1] : trace.seconds[last] + 1.0;
    const double begin_s = std::floor(before_s + trace::instantTolerance_s) + 1;
    const double end_s = std::ceil(after_s - trace::instantTolerance_s) - 1;
    return {sessionTime(begin_s), sessionTime(std::max(begin_s, end_s))};
}

Flag excludedFlag(FlagKind kind, const trace::SessionSpan& span, double magnitude, double confidence,
                  std::string because) {
    Flag flag;
    flag.kind = kind;
    flag.on = FlaggedTrace::Reference;
    flag.span = span;
    flag.magnitude = magnitude;
    flag.unit = magnitudeUnit(kind);
    flag.confidence = confidence;
    flag.excluded = true;
    flag.because = std::move(because);
    return flag;
}

Flag flagOf(const Excursion& excursion, const trace::SessionTrace& trace) {
    const auto span = wrongSeconds(trace, excursion.first, excursion.last);
    const double length_s = secondsOf(span.end) - secondsOf(span.begin) + 1;
    const auto from = sessionClockText(secondsOf(span.begin));
    switch (excursion.shape) {
        case Excursion::Shape::Doubled:
        case Excursion::Shape::Halved: {
            const bool doubled = excursion.shape == Excursion::Shape::Doubled;
            return excludedFlag(doubled ? FlagKind::DoubleRate : FlagKind::HalfRate, span, excursion.ratio,
                                0.95,
                                fmt::format("From {} the reference jumps to {:.2f} times its own level and "
                                            "back after {:.0f} s, faster "
                                            "than a heart can change.",
                                            from, excursion.ratio, length_s));
        }
        case Excursion::Shape::Jumps:
            break;
    }
    return excludedFlag(
        FlagKind::Spike, span, excursion.size_bpm, excursion.jumps > 2 ? 0.97 : 0.85,
        fmt::format("From {} the reference jumps {} times within {:.0f} s, by up to {:+.0f} bpm, faster "
                    "than a heart can change.",
                    from, excursion.jumps, length_s, excursion.size_bpm));
}

/// Steps into and out of a run, the larger one, in bpm.
double release(const trace::SessionTrace& trace, const StillRun& run) {
    double step = 0.0;
    for (const std::size_t i : {run.first, run.last + 1})
        if (i > 0 && i < trace.rates.size() && trace.joined[i])
            step = std::max(step, std::abs((trace.rates[i] - trace.rates[i - 1]).value));
    return step;
}

std::vector<Flag> standstills(const trace::SessionTrace& trace, const Settings& settings) {
    const auto& rule = settings.reference;
    StuckSettings still = settings.stuck;
    still.least_s = rule.still_s;
    std::vector<Flag> flags;
    for (const auto& run : stillRuns(trace, still)) {
        const double step = release(trace, run);
        const double length_s = trace.seconds[run.last] - trace.seconds[run.first];
        if (step < rule.release_bpm || standingChance(trace, run) > rule.stillChance) continue;
        flags.push_back(excludedFlag(
            FlagKind::Stuck, wrongSeconds(trace, run.first + 1, run.last), length_s, 0.85,
            fmt::format(
                "The reference stood at {:.0f} bpm for {:.0f} s and then changed by {:.0f} bpm at once.",
                run.value_bpm, length_s, step)));
    }
    return flags;
}

}  // namespace

std::vector<Flag> referenceFaults(const trace::SessionTrace& reference,
                                  std::span<const trace::SessionSpan> pauses,
                                  const trace::PairingSettings& pairing, const Settings& settings) {
    auto flags = dropouts(reference, pauses, FlaggedTrace::Reference, pairing);
    for (const auto& excursion : ownExcursions(reference, settings.spike, settings.reference))
        flags.push_back(flagOf(excursion, reference));
    for (auto& flag : standstills(reference, settings))
        flags.push_back(std::move(flag));
    return joinedFlags(std::move(flags), settings.join_s);
}

}  // namespace beatwitness::flags
