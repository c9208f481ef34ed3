#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/support/scenario.h"

namespace beatwitness::tests {

namespace {

constexpr double fastTau_s = 6.0;
constexpr double cadenceTau_s = 3.0;

struct Drive {
    double target_bpm;
    double cadence_per_min;
};

/// Steps through the phases; times asked for must ascend.
class DriveOverTime {
public:
    explicit DriveOverTime(const ActivityPlan& plan) : plan_(&plan) {}

    [[nodiscard]] Drive at(double time_s) {
        const auto& phases = plan_->phases;
        if (phases.empty() || time_s < phases.front().start_s) return {plan_->initial_bpm, 0.0};
        while (next_ + 1 < phases.size() && time_s >= phases[next_ + 1].start_s)
            ++next_;
        const auto& phase = phases[next_];
        const double length_s = std::max(phase.end_s - phase.start_s, 1e-9);
        const double done = std::min((time_s - phase.start_s) / length_s, 1.0);
        return {phase.target_bpm + done * (phase.endTarget_bpm - phase.target_bpm), phase.cadence_per_min};
    }

private:
    const ActivityPlan* plan_;
    std::size_t next_ = 0;
};

/// Exact for a target that stands still over the step.
double relaxed(double value, double target, double tau_s, double step_s) {
    return target + (value - target) * std::exp(-step_s / tau_s);
}

/// The two-part response without fluctuation.
class HeartResponse {
public:
    HeartResponse(const Kinetics& kinetics, double initial_bpm)
        : kinetics_(kinetics), fast_(initial_bpm), slow_(initial_bpm) {}

    [[nodiscard]] double value() const {
        return kinetics_.fastShare * fast_ + (1.0 - kinetics_.fastShare) * slow_;
    }
    void step(double target_bpm, double step_s) {
        const double tau_s = target_bpm > slow_ ? kinetics_.onTau_s : kinetics_.offTau_s;
        slow_ = relaxed(slow_, target_bpm, tau_s, step_s);
        fast_ = relaxed(fast_, target_bpm, fastTau_s, step_s);
    }

private:
    Kinetics kinetics_;
    double fast_;
    double slow_;
};

/// What the heart does by itself.
class OwnMotion {
public:
    OwnMotion(const ActivityPlan& plan, double step_s)
        : plan_(&plan),
          random_(plan.seed, "fluctuation"),
          beat_(2.0, step_s, random_),
          slow_(30.0, step_s, random_),
          wander_(1200.0, step_s, random_),
          breathRate_(60.0, step_s, random_),
          step_s_(step_s) {}

    [[nodiscard]] double next(double rate_bpm) {
        const auto& size = plan_->fluctuation;
        const double span_bpm = std::max(plan_->peak_bpm - plan_->resting_bpm, 1.0);
        const double effort = std::clamp((rate_bpm - plan_->resting_bpm) / span_bpm, 0.0, 1.0);
        breathPhase_ += 2.0 * std::numbers::pi * step_s_ * (0.22 + 0.25 * effort + 0.03 * breathRate_.next());
        const double calm = (1.0 - effort) * (1.0 - effort);
        return size.beat_bpm * beat_.next() + size.slow_bpm * slow_.next() +
               size.wander_bpm * wander_.next() + size.breath_bpm * calm * std::sin(breathPhase_);
    }

private:
    const ActivityPlan* plan_;
    RandomStream random_;
    ColouredNoise beat_, slow_, wander_, breathRate_;
    double step_s_;
    double breathPhase_ = 0.0;
};

}  // namespace

double Grid::at(std::span<const double> values, double time_s) const {
    const double place = (time_s - begin_s) / step_s;
    if (place <= 0.0) return values.front();
    const auto low = static_cast<std::size_t>(place);
    if (low + 1 >= values.size()) return values.back();
    const double part = place - static_cast<double>(low);
    return values[low] + part * (values[low + 1] - values[low]);
}

Body bodyOf(const ActivityPlan& plan, double begin_s, double end_s) {
    Body body{{begin_s, 0.5}, {}, {}};
    const double step_s = body.grid.step_s;
    const auto count = static_cast<std::size_t>(std::max(end_s - begin_s, 0.0) / step_s) + 2;
    body.rate_bpm.reserve(count);
    body.cadence_per_min.reserve(count);
    RandomStream limbs{plan.seed, "cadence"};
    ColouredNoise limbNoise{15.0, step_s, limbs};
    OwnMotion ownMotion{plan, step_s};
    DriveOverTime drives{plan};
    HeartResponse heart{plan.kinetics, plan.initial_bpm};
    double cadence = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        const auto drive = drives.at(body.grid.time(i));
        const double rate_bpm = heart.value() + ownMotion.next(heart.value());
        body.rate_bpm.push_back(std::clamp(rate_bpm, 32.0, 215.0));
        body.cadence_per_min.push_back(std::max(cadence * (1.0 + 0.02 * limbNoise.next()), 0.0));
        heart.step(drive.target_bpm, step_s);
        cadence = relaxed(cadence, drive.cadence_per_min, cadenceTau_s, step_s);
    }
    return body;
}

}  // namespace beatwitness::tests
