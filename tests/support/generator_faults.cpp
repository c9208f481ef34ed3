#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include "tests/support/generator_signal.h"

namespace beatwitness::tests {

namespace {

/// Grid points of a fault.
struct Stretch {
    std::size_t first;
    std::size_t last;  ///< one past
};

Stretch stretchOf(const FaultPlan& fault, const Signal& signal) {
    const auto index = [&](double time_s) {
        const double place = std::ceil((time_s - signal.grid.begin_s) / signal.grid.step_s - 1e-9);
        return static_cast<std::size_t>(std::clamp(place, 0.0, static_cast<double>(signal.shown_bpm.size())));
    };
    return {index(fault.start_s), index(fault.end_s + signal.grid.step_s / 2)};
}

/// Replaces shown_bpm inside the fault by `value(index, time since start)`.
void replace(const FaultPlan& fault, Signal& signal,
             const std::function<double(std::size_t, double)>& value) {
    const auto [first, last] = stretchOf(fault, signal);
    for (std::size_t i = first; i < last; ++i)
        signal.shown_bpm[i] = std::clamp(value(i, signal.grid.time(i) - fault.start_s), 27.0, 248.0);
}

double levelBefore(const FaultPlan& fault, const Signal& signal) {
    double sum = 0.0;
    for (int back_s = 1; back_s <= 8; ++back_s)
        sum += signal.grid.at(signal.steady_bpm, fault.start_s - back_s);
    return sum / 8.0;
}

/// Holds the delay, then lets it run out over the last third (at most 30 s).
void lag(const FaultPlan& fault, Signal& signal) {
    const double length_s = fault.end_s - fault.start_s;
    const double release_s = std::min(30.0, length_s / 3.0);
    replace(fault, signal, [&, release_s](std::size_t i, double since_s) {
        const double held = std::clamp((length_s - since_s) / release_s, 0.0, 1.0);
        return signal.grid.at(signal.steady_bpm, signal.grid.time(i) - held * fault.magnitude);
    });
}

/// Follows a share of the change since the start, and comes back over the last 4 s.
void follow(const FaultPlan& fault, Signal& signal, RandomStream& random) {
    const double before_bpm = levelBefore(fault, signal);
    const double length_s = fault.end_s - fault.start_s;
    ColouredNoise restless{12.0, signal.grid.step_s, random};
    replace(fault, signal, [&](std::size_t i, double since_s) {
        const double held = std::clamp((length_s - since_s) / 4.0, 0.0, 1.0);
        const double partial =
            before_bpm + fault.magnitude * (signal.steady_bpm[i] - before_bpm) + 0.8 * restless.next();
        return held * partial + (1.0 - held) * signal.steady_bpm[i];
    });
}

void multiply(const FaultPlan& fault, Signal& signal, RandomStream& random) {
    ColouredNoise restless{3.0, signal.grid.step_s, random};
    replace(fault, signal, [&](std::size_t i, double) {
        return fault.magnitude * signal.steady_bpm[i] + 0.6 * restless.next();
    });
}

void lockOnCadence(const FaultPlan& fault, Signal& signal, RandomStream& random) {
    ColouredNoise restless{3.0, signal.grid.step_s, random};
    const double entry_s = random.chance(0.5) ? 0.5 : random.uniform(2, 6);
    replace(fault, signal, [&, entry_s](std::size_t i, double since_s) {
        const double locked = std::clamp(since_s / entry_s, 0.0, 1.0);
        return (1.0 - locked) * signal.steady_bpm[i] +
               locked * (fault.magnitude * signal.cadence_per_min[i] + 0.7 * restless.next());
    });
}

void freeze(const FaultPlan& fault, Signal& signal) {
    const double value = std::round(signal.grid.at(signal.steady_bpm, fault.start_s));
    replace(fault, signal, [&](std::size_t, double) { return value; });
    const auto [first, last] = stretchOf(fault, signal);
    std::fill(signal.frozen.begin() + static_cast<std::ptrdiff_t>(first),
              signal.frozen.begin() + static_cast<std::ptrdiff_t>(last), std::uint8_t{1});
}

void lose(const FaultPlan& fault, Signal& signal) {
    const auto [first, last] = stretchOf(fault, signal);
    std::fill(signal.lost.begin() + static_cast<std::ptrdiff_t>(first),
              signal.lost.begin() + static_cast<std::ptrdiff_t>(last), std::uint8_t{1});
}

/// One jump, or in a stretch above 10 s a train of jumps.
void jump(const FaultPlan& fault, Signal& signal, RandomStream& random) {
    const bool train = fault.end_s - fault.start_s > 10.0;
    double up_s = 0.0, down_s = train ? random.uniform(2, 6) : fault.end_s - fault.start_s + 1.0;
    replace(fault, signal, [&](std::size_t i, double since_s) {
        while (train && since_s > down_s) {
            up_s = down_s + random.uniform(6, 18);
            down_s = up_s + random.uniform(2, 6);
        }
        return signal.steady_bpm[i] + (since_s >= up_s ? fault.magnitude : 0.0);
    });
}

void drift(const FaultPlan& fault, Signal& signal) {
    const double length_s = fault.end_s - fault.start_s;
    const double ramp_s = std::min(20.0, length_s / 4.0);
    replace(fault, signal, [&, ramp_s](std::size_t i, double since_s) {
        const double in = std::clamp(std::min(since_s, length_s - since_s) / ramp_s, 0.0, 1.0);
        return signal.steady_bpm[i] + fault.magnitude * (0.5 - 0.5 * std::cos(std::numbers::pi * in));
    });
}

/// High plateaus of 3 to 10 s with the heart in between.
void scatter(const FaultPlan& fault, Signal& signal, RandomStream& random) {
    double until_s = 0.0, factor = 1.0;
    replace(fault, signal, [&](std::size_t i, double since_s) {
        if (since_s >= until_s) {
            factor = factor > 1.0 && random.chance(0.5) ? 1.0 : random.uniform(1.25, 1.9);
            until_s = since_s + random.uniform(3, 10);
        }
        return std::min(signal.steady_bpm[i] * factor, 235.0);
    });
}

bool isWrong(const FaultPlan& fault, double error_bpm, double heart_bpm) {
    if (fault.kind == FaultKind::Adrift) return std::abs(error_bpm) > std::max(10.0, 0.1 * heart_bpm);
    return std::abs(error_bpm) >= 4.0;
}

double contractMagnitude(const TrueFault& fault) {
    return fault.plan.kind == FaultKind::Stuck ? fault.end_s - fault.start_s : fault.plan.magnitude;
}

}  // namespace

void applyFault(const FaultPlan& fault, Signal& signal, RandomStream& random) {
    switch (fault.kind) {
        case FaultKind::Lag:
            return lag(fault, signal);
        case FaultKind::MissedRise:
        case FaultKind::Damped:
            return follow(fault, signal, random);
        case FaultKind::HalfRate:
        case FaultKind::DoubleRate:
            return multiply(fault, signal, random);
        case FaultKind::CadenceLock:
            return lockOnCadence(fault, signal, random);
        case FaultKind::Stuck:
            return freeze(fault, signal);
        case FaultKind::Dropout:
            return lose(fault, signal);
        case FaultKind::Spike:
            return jump(fault, signal, random);
        case FaultKind::Adrift:
            return drift(fault, signal);
        case FaultKind::Noise:
            return scatter(fault, signal, random);
    }
}

TrueFault trueFault(const FaultPlan& fault, const Signal& signal) {
    TrueFault truth{fault, fault.start_s, fault.end_s, fault.magnitude};
    bool any = false;
    for (double second = std::ceil(fault.start_s); second <= fault.end_s; ++second) {
        const double heart_bpm = signal.grid.at(signal.heart_bpm, second);
        if (!isWrong(fault, signal.grid.at(signal.shown_bpm, second) - heart_bpm, heart_bpm)) continue;
        if (!any) truth.start_s = second;
        truth.end_s = second;
        any = true;
    }
    truth.magnitude = contractMagnitude(truth);
    return truth;
}

}  // namespace beatwitness::tests
