#pragma once

#include <cmath>
#include <functional>
#include <vector>

#include "core/flags/reference_faults.h"
#include "core/flags/test_faults.h"
#include "core/trace/session_trace.h"

/// Sessions drawn by hand as functions of time, one sample a second, whole bpm.
namespace beatwitness::tests {

using Curve = std::function<double(double)>;

/// A trace of `curve` at 0, 1, … `last_s`; a value below 25 is no sample.
inline trace::SessionTrace traceOfCurve(const Curve& curve, double last_s, double every_s = 1.0) {
    trace::SessionTrace trace;
    for (double t = 0; t <= last_s; t += every_s) {
        const double value = std::round(curve(t));
        if (value < 25) continue;
        trace.joined.push_back(!trace.seconds.empty() && t - trace.seconds.back() <= 10.0);
        trace.seconds.push_back(t);
        trace.rates.push_back(Bpm{value});
    }
    return trace;
}

/// A small restlessness that never repeats within minutes: no trace of a body stands still.
inline double restless(double t) {
    return 1.1 * std::sin(t / 1.9) + 0.9 * std::sin(t / 5.3 + 1) + 0.6 * std::sin(t / 0.83 + 2);
}

/// 100 bpm; from 300 s on a rise by 60 bpm with a time constant of 25 s, from 600 s on back with one of 45 s.
inline double effort(double t) {
    const double up = t < 300 ? 0.0 : 60.0 * (1.0 - std::exp(-(std::min(t, 600.0) - 300.0) / 25.0));
    return 100.0 + (t < 600 ? up : up * std::exp(-(t - 600.0) / 45.0));
}

inline std::vector<flags::Flag> flagsOfCurves(const Curve& reference, const Curve& test,
                                              const Curve& cadence = {}, double last_s = 900.0,
                                              double every_s = 1.0) {
    const auto referenceTrace = traceOfCurve(reference, last_s);
    const auto seconds = trace::atWholeSeconds(referenceTrace);
    const auto testTrace = traceOfCurve(test, last_s, every_s);
    trace::SecondlyRates steps;
    if (cadence) steps = trace::atWholeSeconds(traceOfCurve(cadence, last_s));
    return flags::testFaults({referenceTrace, seconds, testTrace, {}, {}, steps}, {}, {});
}

}  // namespace beatwitness::tests
