#include "tests/support/generator_signal.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::tests {

namespace {

std::vector<double> averaged(std::span<const double> values, std::size_t width) {
    std::vector<double> result(values.size());
    double sum = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        sum += values[i] - (i >= width ? values[i - width] : 0.0);
        result[i] = sum / static_cast<double>(std::min(i + 1, width));
    }
    return result;
}

/// Exact for an input that is linear between grid points.
std::vector<double> lowPassed(std::span<const double> values, double tau_s, double step_s) {
    std::vector<double> result(values.begin(), values.end());
    const double keep = std::exp(-step_s / tau_s);
    const double before = (1.0 - keep) * tau_s / step_s;  // weight moved from the new to the old input value
    for (std::size_t i = 1; i < values.size(); ++i)
        result[i] = keep * result[i - 1] + (before - keep) * values[i - 1] + (1.0 - before) * values[i];
    return result;
}

/// Samples of a causal average of `width_s`: both ends count, so that its delay is half the width.
std::size_t averageWidth(double width_s, double step_s) {
    return static_cast<std::size_t>(std::lround(width_s / step_s)) + 1;
}

std::vector<double> movedBack(const Grid& grid, std::span<const double> values, double by_s) {
    std::vector<double> result(values.size());
    for (std::size_t i = 0; i < values.size(); ++i)
        result[i] = grid.at(values, grid.time(i) + by_s);
    return result;
}

double groupDelay(const TestPlan& plan, double step_s) {
    switch (plan.smoothing) {
        case Smoothing::None:
            return 0.0;
        case Smoothing::MovingAverage:
            return static_cast<double>(averageWidth(plan.smoothing_s, step_s) - 1) * step_s / 2;
        case Smoothing::OnePole:
            return plan.smoothing_s;
    }
    return 0.0;
}

/// Variance of late(t + shift) - heart(t).
double misfit(const std::vector<double>& heart, const std::vector<double>& late, std::size_t shift) {
    double sum = 0.0, squares = 0.0;
    const std::size_t count = heart.size() - shift;
    for (std::size_t i = 0; i < count; ++i) {
        const double error = late[i + shift] - heart[i];
        sum += error;
        squares += error * error;
    }
    const auto n = static_cast<double>(count);
    return squares / n - (sum / n) * (sum / n);
}

/// Two averages over 6 s stand in for the 3 s Gaussian of the contract.
std::vector<double> blurred(std::span<const double> values) {
    return averaged(averaged(values, 12), 12);
}

/// Where the misfit is least, by a parabola; the group delay where the heart hardly moves and nothing tells.
double bestDelay(std::span<const double> heart, std::span<const double> late, double groupDelay_s,
                 double step_s) {
    const auto plain = blurred(heart), slow = blurred(late);
    const auto group = static_cast<std::size_t>(std::lround(groupDelay_s / step_s));
    std::vector<double> misfits;
    for (std::size_t shift = 0; shift <= group + 4 && shift + 2 < heart.size(); ++shift)
        misfits.push_back(misfit(plain, slow, shift));
    const auto best = static_cast<std::size_t>(std::ranges::min_element(misfits) - misfits.begin());
    if (best == 0 || best + 1 >= misfits.size() || misfits[0] < 0.5) return groupDelay_s;
    const double before = misfits[best - 1], after = misfits[best + 1];
    const double part = 0.5 * (before - after) / (before - 2 * misfits[best] + after);
    return (static_cast<double>(best) + part) * step_s;
}

}  // namespace

Signal signalOf(const Body& body, double cadenceAsStored) {
    Signal signal;
    signal.grid = body.grid;
    signal.heart_bpm = body.rate_bpm;
    signal.steady_bpm = body.rate_bpm;
    signal.shown_bpm = body.rate_bpm;
    signal.cadence_per_min = body.cadence_per_min;
    for (double& cadence : signal.cadence_per_min)
        cadence *= cadenceAsStored;
    signal.lost.assign(body.rate_bpm.size(), 0);
    signal.frozen = signal.lost;
    return signal;
}

double smoothSteadily(Signal& signal, const TestPlan& plan) {
    const double step_s = signal.grid.step_s;
    if (plan.smoothing == Smoothing::MovingAverage)
        signal.steady_bpm = averaged(signal.heart_bpm, averageWidth(plan.smoothing_s, step_s));
    else if (plan.smoothing == Smoothing::OnePole)
        signal.steady_bpm = lowPassed(signal.heart_bpm, plan.smoothing_s, step_s);
    double delay_s = 0.0;
    if (plan.smoothing != Smoothing::None) {
        delay_s = bestDelay(signal.heart_bpm, signal.steady_bpm, groupDelay(plan, step_s), step_s);
        signal.steady_bpm = movedBack(signal.grid, signal.steady_bpm, delay_s);
    }
    for (double& rate : signal.steady_bpm)
        rate += plan.bias_bpm;
    signal.shown_bpm = signal.steady_bpm;
    return delay_s;
}

void addNoise(Signal& signal, const ActivityPlan& activity, double rest_bpm, double peak_bpm, double tau_s,
              RandomStream& random) {
    if (rest_bpm <= 0.0 && peak_bpm <= 0.0) return;
    ColouredNoise noise{tau_s, signal.grid.step_s, random};
    const double reserve_bpm = std::max(activity.peak_bpm - activity.resting_bpm, 1.0);
    for (std::size_t i = 0; i < signal.shown_bpm.size(); ++i) {
        const double effort =
            std::clamp((signal.heart_bpm[i] - activity.resting_bpm) / reserve_bpm, 0.0, 1.0);
        const double size_bpm = (rest_bpm + effort * (peak_bpm - rest_bpm)) * noise.next();
        if (!signal.frozen[i]) signal.shown_bpm[i] += size_bpm;
    }
}

}  // namespace beatwitness::tests
