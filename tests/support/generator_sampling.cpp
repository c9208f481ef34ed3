#include "tests/support/generator_sampling.h"

#include <cmath>
#include <limits>

namespace beatwitness::tests {

namespace {

std::int64_t micros(double seconds) {
    return std::llround(seconds * 1e6);
}

/// Rounds half up, whatever the sign of the error of a binary fraction.
double rounded(double value, double unit) {
    if (unit <= 0.0) return value;
    // Dividing by whole parts keeps 0.1 steps exact in their shortest decimal form.
    const double parts = std::round(1.0 / unit);
    return std::floor(value * parts + 0.5) / parts;
}

/// First instant of the sampling grid that is not before `first_us`.
std::int64_t firstInstant(const SamplingPlan& plan, std::int64_t first_us) {
    const std::int64_t second = first_us / 1000000 * 1000000 + micros(plan.phase_s);
    return second < first_us ? second + 1000000 : second;
}

/// Hands out the instants at which a device looks at its value.
class Looks {
public:
    Looks(const SamplingPlan& plan, const DeviceClock& clock, const Sampled& source, RandomStream& random)
        : plan_(&plan), clock_(&clock), source_(&source), random_(&random) {}

    [[nodiscard]] std::int64_t after(std::int64_t time_us) const {
        switch (plan_->style) {
            case SamplingStyle::Regular:
                return time_us + micros(plan_->interval_s);
            case SamplingStyle::Irregular:
                return time_us + 1000000LL * random_->integer(1, static_cast<int>(plan_->interval_s));
            case SamplingStyle::OnChange:
                return time_us + 1000000LL;
            case SamplingStyle::Beats:
                break;
        }
        return time_us + micros(60.0 / source_->value_bpm(clock_->toSession(time_us)));
    }

private:
    const SamplingPlan* plan_;
    const DeviceClock* clock_;
    const Sampled* source_;
    RandomStream* random_;
};

/// Whether a device that writes changes only keeps silent.
class Silence {
public:
    explicit Silence(const SamplingPlan& plan) : plan_(&plan) {}

    [[nodiscard]] bool keeps(std::int64_t time_us, double value) {
        if (plan_->style != SamplingStyle::OnChange) return false;
        if (value == last_ && time_us - written_us_ < micros(plan_->interval_s)) return true;
        last_ = value;
        written_us_ = time_us;
        return false;
    }

private:
    const SamplingPlan* plan_;
    double last_ = std::numeric_limits<double>::lowest();
    std::int64_t written_us_ = 0;
};

}  // namespace

std::int64_t DeviceClock::fromSession(double session_s) const {
    return t0_us + micros(session_s / (1.0 + drift_ppm * 1e-6) - offset_s);
}

Samples sample(const SamplingPlan& plan, const DeviceClock& clock, double first_s, double last_s,
               const Sampled& source, RandomStream& random) {
    Samples samples;
    const Looks looks{plan, clock, source, random};
    Silence silence{plan};
    const auto last_us = clock.fromSession(last_s);
    for (auto time_us = firstInstant(plan, clock.fromSession(first_s)); time_us <= last_us;
         time_us = looks.after(time_us)) {
        const double session_s = clock.toSession(time_us);
        const double value = rounded(source.value_bpm(session_s), plan.rounding_bpm);
        if (source.lost(session_s) || (!samples.times_us.empty() && random.chance(plan.lossShare))) {
            samples.emptyRows_us.push_back(time_us);
        } else if (!silence.keeps(time_us, value)) {
            samples.times_us.push_back(time_us);
            samples.values.push_back(value);
        }
    }
    return samples;
}

}  // namespace beatwitness::tests
