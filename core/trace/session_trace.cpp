#include "core/trace/session_trace.h"

#include <cmath>

namespace beatwitness::trace {
namespace {

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
    out.seconds.reserve(trace.seconds.size());
    out.rates.reserve(trace.seconds.size());
    for (std::size_t i = 0; i < trace.seconds.size(); ++i) {
        const double here_s = trace.seconds[i];
        if (i > 0 && trace.joined[i]) {
            const double before_s = trace.seconds[i - 1];
            const double slope = (trace.rates[i].value - trace.rates[i - 1].value) / (here_s - before_s);
            const auto first = static_cast<std::int64_t>(std::ceil(before_s + instantTolerance_s));
            for (std::int64_t second = first; static_cast<double>(second) < here_s - instantTolerance_s;
                 ++second)
                append(out, second,
                       trace.rates[i - 1].value + slope * (static_cast<double>(second) - before_s));
        }
        const double nearest = std::nearbyint(here_s);
        if (std::abs(here_s - nearest) <= instantTolerance_s)
            append(out, static_cast<std::int64_t>(nearest), trace.rates[i].value);
    }
    return out;
}

}  // namespace beatwitness::trace
