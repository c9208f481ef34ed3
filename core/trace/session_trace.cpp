#include "core/trace/session_trace.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::trace {
namespace {

/// Truncation is one instruction where std::ceil is a call; session seconds lie far inside 64 bits.
std::int64_t ceilSecond(double seconds_s) {
    const auto truncated = static_cast<std::int64_t>(seconds_s);
    return truncated + (static_cast<double>(truncated) < seconds_s);
}

std::int64_t nearestSecond(double seconds_s) {
    return static_cast<std::int64_t>(seconds_s < 0 ? seconds_s - 0.5 : seconds_s + 0.5);
}

/// Room for what a trace of this span and so many samples usually gives, within what its samples warrant.
std::size_t likelySeconds(const SessionTrace& trace) {
    if (trace.empty()) return 0;
    const double span_s = trace.seconds.back() - trace.seconds.front() + 1;
    return static_cast<std::size_t>(std::min(span_s, 2.0 * static_cast<double>(trace.seconds.size())));
}

void append(SecondlyRates& out, std::int64_t second, double rate) {
    // A whole second within the tolerance of two samples goes to the first: both say nearly the same.
    if (!out.seconds.empty() && out.seconds.back() >= second) return;
    out.seconds.push_back(second);
    out.rates.push_back(Bpm{rate});
}

}  // namespace

SessionTrace onSessionClock(const Trace<ReferenceClock>& reference, ReferenceTime t0,
                            const PairingSettings& settings) {
    SessionTrace session{{}, reference.rates, joinedSamples(reference, settings)};
    session.seconds.reserve(reference.times.size());
    for (const auto time : reference.times)
        session.seconds.push_back(toSeconds(time - t0).value);
    return session;
}

SecondlyRates atWholeSeconds(const SessionTrace& trace) {
    SecondlyRates out;
    out.seconds.reserve(likelySeconds(trace));
    out.rates.reserve(likelySeconds(trace));
    for (std::size_t i = 0; i < trace.seconds.size(); ++i) {
        const double here_s = trace.seconds[i];
        if (i > 0 && trace.joined[i]) {
            const double before_s = trace.seconds[i - 1];
            const double end_s = here_s - instantTolerance_s;
            std::int64_t second = ceilSecond(before_s + instantTolerance_s);
            if (static_cast<double>(second) < end_s) {
                const double slope = (trace.rates[i].value - trace.rates[i - 1].value) / (here_s - before_s);
                for (; static_cast<double>(second) < end_s; ++second)
                    append(out, second,
                           trace.rates[i - 1].value + slope * (static_cast<double>(second) - before_s));
            }
        }
        const std::int64_t nearest = nearestSecond(here_s);
        if (std::abs(here_s - static_cast<double>(nearest)) <= instantTolerance_s)
            append(out, nearest, trace.rates[i].value);
    }
    return out;
}

}  // namespace beatwitness::trace
