#pragma once

#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "tests/support/generator.h"
#include "tests/support/scenario.h"

/// The steps between a heart and the samples of a recording; parts of generatePair().
namespace beatwitness::tests {

/// What a device would show, on a grid of session time as it is after alignment.
///
/// Invariants: all vectors of one length.
struct Signal {
    Grid grid;
    std::vector<double> heart_bpm;
    std::vector<double> cadence_per_min;  ///< as files store it (steps or strides)
    std::vector<double> steady_bpm;       ///< the device without faults and noise
    std::vector<double> shown_bpm;        ///< with faults; noise is added last
    std::vector<std::uint8_t> lost;       ///< 1: no sample comes of it
    std::vector<std::uint8_t> frozen;     ///< 1: noise does not show
};

/// A device that shows the heart as it is.
[[nodiscard]] Signal signalOf(const Body& body, double cadenceAsStored);

/// Smooths, then moves back by the delay that this causes: aligned time has no constant delay. Gives that
/// delay in s.
///
/// A low-pass holds slow changes back by its group delay and quick ones by less; the delay is the one that
/// leaves the least squares, about their mean, between heart and device.
double smoothSteadily(Signal& signal, const TestPlan& plan);

/// Noise that grows from rest to peak.
void addNoise(Signal& signal, const ActivityPlan& activity, double rest_bpm, double peak_bpm, double tau_s,
              RandomStream& random);

/// Turns shown_bpm into what the fault makes of it.
void applyFault(const FaultPlan& fault, Signal& signal, RandomStream& random);

/// First and last second that are wrong because of `fault`, before noise. Not for dropouts.
[[nodiscard]] TrueFault trueFault(const FaultPlan& fault, const Signal& signal);

}  // namespace beatwitness::tests
