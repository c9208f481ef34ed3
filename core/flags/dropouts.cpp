#include "core/flags/dropouts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/foundation/text.h"

namespace beatwitness::flags {
namespace {

struct Stretch {
    double begin_s;
    double end_s;
};

/// What of `gap` no pause covers. Requires: pauses in order.
std::vector<Stretch> outside(std::span<const trace::SessionSpan> pauses, Stretch gap) {
    std::vector<Stretch> rest;
    double from_s = gap.begin_s;
    for (const auto& pause : pauses) {
        const double begin_s = secondsOf(pause.begin), end_s = secondsOf(pause.end);
        if (end_s <= from_s) continue;
        if (begin_s >= gap.end_s) break;
        if (begin_s > from_s) rest.push_back({from_s, begin_s});
        from_s = std::max(from_s, end_s);
    }
    if (from_s < gap.end_s) rest.push_back({from_s, gap.end_s});
    return rest;
}

Flag dropout(Stretch stretch, FlaggedTrace on) {
    Flag flag;
    flag.kind = FlagKind::Dropout;
    flag.on = on;
    // The samples at both ends are sound: the flag begins with the first second after and ends with the last
    // before.
    const double begin_s = std::floor(stretch.begin_s + trace::instantTolerance_s) + 1;
    const double end_s = std::ceil(stretch.end_s - trace::instantTolerance_s) - 1;
    flag.span = {sessionTime(begin_s), sessionTime(std::max(begin_s, end_s))};
    flag.magnitude = stretch.end_s - stretch.begin_s;
    flag.unit = "s";
    flag.excluded = on == FlaggedTrace::Reference;
    // The times of the span: a reader who goes there finds the gap, and the length is from sample to sample.
    flag.because = fmt::format("No heart rate from the {} from {} to {}: {:.0f} s without a sample.",
                               on == FlaggedTrace::Test ? "device" : "reference",
                               sessionClockText(secondsOf(flag.span.begin)),
                               sessionClockText(secondsOf(flag.span.end)), flag.magnitude);
    return flag;
}

}  // namespace

std::vector<Flag> dropouts(const trace::SessionTrace& trace, std::span<const trace::SessionSpan> pauses,
                           FlaggedTrace on, const trace::PairingSettings& settings) {
    std::vector<trace::SessionSpan> inOrder(pauses.begin(), pauses.end());
    std::ranges::sort(inOrder, {}, &trace::SessionSpan::begin);
    std::vector<Flag> flags;
    for (std::size_t i = 1; i < trace.seconds.size(); ++i) {
        if (trace.joined[i]) continue;
        for (const auto& stretch : outside(inOrder, {trace.seconds[i - 1], trace.seconds[i]}))
            if (stretch.end_s - stretch.begin_s > settings.maxGap.value + trace::instantTolerance_s)
                flags.push_back(dropout(stretch, on));
    }
    return flags;
}

}  // namespace beatwitness::flags
