#include <algorithm>
#include <array>
#include <cmath>

#include "tests/support/generator.h"

namespace beatwitness::tests {

namespace {

/// What the heart does in a stretch, without looking at any fault.
struct StretchFacts {
    double first_bpm, lowest_bpm, highest_bpm;
    double cadenceDistance_bpm;  ///< smallest distance to the multiple of the cadence
};

StretchFacts factsOf(const Body& body, const FaultPlan& fault, double cadenceFactor) {
    const double first_bpm = body.rateAt(fault.start_s);
    StretchFacts facts{first_bpm, first_bpm, first_bpm, 1e9};
    for (double time_s = fault.start_s; time_s <= fault.end_s; time_s += 1.0) {
        const double rate = body.rateAt(time_s);
        facts.lowest_bpm = std::min(facts.lowest_bpm, rate);
        facts.highest_bpm = std::max(facts.highest_bpm, rate);
        const double cadence = cadenceFactor * body.cadenceAt(time_s);
        facts.cadenceDistance_bpm = std::min(facts.cadenceDistance_bpm, std::abs(cadence - rate));
        if (cadence < 45.0) facts.cadenceDistance_bpm = 0.0;
    }
    return facts;
}

/// Draws faults that the contract's definitions would call by their name.
class FaultDrawer {
public:
    FaultDrawer(const PairPlan& plan, RandomStream& random)
        : plan_(&plan), random_(&random), body_(bodyOf(plan.activity, -60.0, plan.reference.duration_s)) {}

    /// Tries places until one fits; adds nothing where none does.
    void draw(FaultKind kind, FaultOn on, std::vector<FaultPlan>& faults) {
        for (int attempt = 0; attempt < 60; ++attempt) {
            const auto fault = proposed(kind, on);
            if (!fits(fault, faults)) continue;
            faults.push_back(fault);
            return;
        }
    }

private:
    [[nodiscard]] FaultPlan proposed(FaultKind kind, FaultOn on) {
        auto& random = *random_;
        switch (kind) {
            case FaultKind::Lag: {
                const double lag_s = random.uniform(10, 35);
                return at(kind, on, effortStart(), lag_s + random.uniform(60, 150), lag_s);
            }
            case FaultKind::MissedRise:
                return at(kind, on, effortStart(), random.uniform(30, 240), random.uniform(0.0, 0.22));
            case FaultKind::Damped:
                return at(kind, on, effortStart(), random.uniform(90, 300), random.uniform(0.42, 0.7));
            case FaultKind::HalfRate:
                return at(kind, on, anywhere(), random.uniform(14, 180), random.uniform(0.485, 0.515));
            case FaultKind::DoubleRate:
                return at(kind, on, anywhere(), random.uniform(14, 120), random.uniform(1.92, 2.08));
            case FaultKind::CadenceLock:
                return at(kind, on, anywhere(), random.uniform(30, 240), multiple());
            case FaultKind::Stuck:
                return at(kind, on, anywhere(), random.uniform(30, 160), 0.0);
            case FaultKind::Dropout:
                return at(kind, on, anywhere(), random.uniform(14, 120), 0.0);
            case FaultKind::Spike:
                return spike(on);
            case FaultKind::Adrift:
                return at(kind, on, anywhere(), random.uniform(80, 200),
                          random.uniform(18, 35) * (random.chance(0.5) ? 1.0 : -1.0));
            case FaultKind::Noise:
                return at(kind, on, 2.0, random.uniform(40, 150), 0.0);
        }
        return {};
    }

    static FaultPlan at(FaultKind kind, FaultOn on, double start_s, double length_s, double magnitude) {
        return {kind, on, start_s, start_s + length_s, magnitude};
    }

    [[nodiscard]] FaultPlan spike(FaultOn on) {
        const double jump_bpm = random_->uniform(25, 60) * (random_->chance(0.7) ? 1.0 : -1.0);
        const double length_s = random_->chance(0.3) ? random_->uniform(25, 60) : random_->uniform(2, 6);
        return at(FaultKind::Spike, on, anywhere(), length_s, jump_bpm);
    }

    [[nodiscard]] double anywhere() {
        return random_->uniform(60.0, std::max(plan_->reference.duration_s - 120.0, 61.0));
    }

    [[nodiscard]] double effortStart() {
        std::vector<double> starts;
        for (const auto& phase : plan_->activity.phases)
            if (phase.effort) starts.push_back(phase.start_s);
        if (starts.empty()) return anywhere();
        return random_->oneOf(std::span<const double>{starts}) - random_->uniform(0, 2);
    }

    [[nodiscard]] double multiple() {
        constexpr std::array multiples{1.0, 1.0, 2.0, 0.5};
        return random_->oneOf(std::span<const double>{multiples});
    }

    [[nodiscard]] bool fits(const FaultPlan& fault, const std::vector<FaultPlan>& faults) const {
        if (fault.start_s < plan_->test.start_s + 40 || fault.end_s > plan_->test.end_s - 40) return false;
        if (fault.end_s > plan_->reference.duration_s - 40) return false;
        double faulty_s = fault.end_s - fault.start_s;
        for (const auto& other : faults) {
            if (fault.start_s < other.end_s + 40 && other.start_s < fault.end_s + 40) return false;
            faulty_s += other.end_s - other.start_s;
        }
        return faulty_s < 0.35 * plan_->reference.duration_s && isItself(fault);
    }

    [[nodiscard]] bool isItself(const FaultPlan& fault) const {
        const double factor = fault.magnitude * (plan_->storesStrides ? 0.5 : 1.0);
        const auto facts = factsOf(body_, fault, factor);
        const double rise_bpm = facts.highest_bpm - facts.first_bpm;
        switch (fault.kind) {
            case FaultKind::Lag:
                return rise_bpm >= 22;
            case FaultKind::MissedRise:
                return rise_bpm >= 26;
            case FaultKind::Damped:
                return rise_bpm >= 30;
            case FaultKind::HalfRate:
                return facts.lowest_bpm >= 75;
            case FaultKind::DoubleRate:
                return facts.highest_bpm <= 115 && facts.lowest_bpm >= 45;
            case FaultKind::CadenceLock:
                return plan_->cadence != CadencePlace::None && facts.cadenceDistance_bpm >= 15;
            case FaultKind::Stuck:
                return facts.highest_bpm - facts.lowest_bpm >= 16;
            case FaultKind::Spike:
                return facts.lowest_bpm + fault.magnitude >= 35 && facts.highest_bpm + fault.magnitude <= 235;
            case FaultKind::Adrift:
                return facts.lowest_bpm + fault.magnitude >= 40 &&
                       std::abs(fault.magnitude) > 0.16 * facts.highest_bpm;
            case FaultKind::Dropout:
            case FaultKind::Noise:
                return true;
        }
        return false;
    }

    const PairPlan* plan_;
    RandomStream* random_;
    Body body_;
};

SamplingPlan drawTestSampling(RandomStream& random) {
    SamplingPlan sampling;
    const double style = random.uniform();
    if (style < 0.25) {
        sampling.phase_s = random.integer(1, 999) * 0.001;
    } else if (style < 0.35) {
        sampling.interval_s = 2.0;
    } else if (style < 0.47) {
        sampling.interval_s = 5.0;
    } else if (style < 0.6) {
        sampling.style = SamplingStyle::Irregular;
        sampling.interval_s = random.integer(3, 9);
    } else if (style < 0.7) {
        sampling.style = SamplingStyle::OnChange;
        sampling.interval_s = random.integer(5, 10);
    }
    if (random.chance(0.4)) sampling.lossShare = random.uniform(0.005, 0.06);
    return sampling;
}

SamplingPlan drawReferenceSampling(RandomStream& random) {
    SamplingPlan sampling;
    const double style = random.uniform();
    if (style < 0.15) {
        sampling.style = SamplingStyle::Beats;
        sampling.rounding_bpm = random.chance(0.5) ? 0.1 : 1.0;
    } else if (style < 0.3) {
        sampling.style = SamplingStyle::Irregular;
        sampling.interval_s = random.integer(2, 8);
    } else if (style < 0.5) {
        sampling.phase_s = random.integer(1, 999) * 0.001;
    }
    if (random.chance(0.25)) sampling.rounding_bpm = 0.1;
    return sampling;
}

TestPlan drawTest(double duration_s, RandomStream& random) {
    TestPlan test;
    test.sampling = drawTestSampling(random);
    const double smoothing = random.uniform();
    if (smoothing < 0.4) test.smoothing = Smoothing::MovingAverage;
    if (smoothing >= 0.4 && smoothing < 0.8) test.smoothing = Smoothing::OnePole;
    if (test.smoothing != Smoothing::None) test.smoothing_s = random.uniform(2, 12);
    test.delay_s = random.chance(0.3) ? 0.0 : random.uniform(0, 8);
    test.restNoise_bpm = random.uniform(0.2, 1.0);
    test.effortNoise_bpm = random.uniform(0.5, 3.5);
    test.bias_bpm = random.chance(0.5) ? 0.0 : random.uniform(-2, 2);
    test.start_s = random.chance(0.1) ? random.uniform(60, 200) : random.uniform(-90, 40);
    test.end_s = duration_s + random.uniform(-60, 90);
    return test;
}

void drawClock(const PlanLimits& limits, double duration_s, TestPlan& test, RandomStream& random) {
    if (!random.chance(0.2))
        test.clockOffset_s = random.uniform(-limits.largestOffset_s, limits.largestOffset_s);
    if (limits.wholeHours && random.chance(0.4)) {
        constexpr std::array halfHours{-14, -10, -4, -2, -1, 1, 2, 3, 4, 11, 16};
        test.clockOffset_s = 1800.0 * random.oneOf(std::span<const int>{halfHours}) + random.uniform(-5, 5);
    }
    if (duration_s > 7200.0 && random.chance(0.6))
        test.clockDrift_ppm = random.uniform(-limits.largestDrift_ppm, limits.largestDrift_ppm);
}

Activity drawActivity(const PlanLimits& limits, double duration_s, RandomStream& random) {
    const double kind = random.uniform();
    if (limits.activity) return *limits.activity;
    if (duration_s > 8 * 3600.0) return Activity::WholeDay;
    if (duration_s > 2.5 * 3600.0) return kind < 0.5 ? Activity::HillWalk : Activity::WholeDay;
    constexpr std::array usual{Activity::RowingIntervals,   Activity::RowingSteady, Activity::HillWalk,
                               Activity::KettlebellCircuit, Activity::TempoRun,     Activity::Sprints};
    return usual[static_cast<std::size_t>(kind * usual.size())];
}

void drawFaults(const PlanLimits& limits, PairPlan& plan, RandomStream& random) {
    constexpr std::array kinds{FaultKind::Lag,        FaultKind::MissedRise, FaultKind::HalfRate,
                               FaultKind::DoubleRate, FaultKind::Stuck,      FaultKind::Dropout,
                               FaultKind::Spike,      FaultKind::Damped,     FaultKind::Adrift,
                               FaultKind::CadenceLock};
    constexpr std::array referenceKinds{FaultKind::Noise, FaultKind::Noise, FaultKind::DoubleRate,
                                        FaultKind::Dropout, FaultKind::Stuck};
    FaultDrawer drawer{plan, random};
    std::vector<FaultPlan> faults;
    if (limits.referenceFaults && random.chance(0.35))
        drawer.draw(random.oneOf(std::span<const FaultKind>{referenceKinds}), FaultOn::Reference, faults);
    for (int left = random.integer(0, limits.mostFaults); left > 0; --left)
        drawer.draw(random.oneOf(std::span<const FaultKind>{kinds}), FaultOn::Test, faults);
    plan.faults = std::move(faults);
}

}  // namespace

PairPlan randomPlan(std::uint64_t seed, const PlanLimits& limits) {
    RandomStream random{seed, "plan"};
    PairPlan plan;
    plan.seed = seed;
    // Even on the logarithm, so that short and long sessions are equally common.
    const double duration_s =
        std::round(limits.shortest_s * std::pow(limits.longest_s / limits.shortest_s, random.uniform()));
    plan.activity = planActivity(drawActivity(limits, duration_s, random), duration_s, random);
    plan.reference = {drawReferenceSampling(random), random.uniform(0.1, 0.7), duration_s};
    plan.test = drawTest(duration_s, random);
    drawClock(limits, duration_s, plan.test, random);
    plan.cadence = random.chance(0.2) ? CadencePlace::None : CadencePlace::Reference;
    plan.storesStrides = random.chance(0.35);
    plan.start_us += 1000000LL * random.integer(-20000000, 20000000);
    drawFaults(limits, plan, random);
    return plan;
}

}  // namespace beatwitness::tests
