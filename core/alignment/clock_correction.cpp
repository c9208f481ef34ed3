#include "core/alignment/clock_correction.h"

namespace beatwitness::alignment {

trace::SessionTrace onSessionClock(const trace::Trace<TestClock>& test, const ClockCorrection& correction,
                                   const trace::PairingSettings& settings) {
    trace::SessionTrace session{{}, test.rates, trace::joinedSamples(test, settings)};
    session.seconds.reserve(test.times.size());
    for (const auto time : test.times)
        session.seconds.push_back(secondsOf(correction.toSession(time)));
    return session;
}

}  // namespace beatwitness::alignment
