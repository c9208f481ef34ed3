#include "tests/benchmarks/alignment_study_plans.h"

#include <algorithm>
#include <utility>

namespace beatwitness::tests {

namespace {

PairPlan drawn(std::uint64_t seed, double shortest_s = 1800, double longest_s = 4500, int mostFaults = 2) {
    return randomPlan(seed, {.shortest_s = shortest_s, .longest_s = longest_s, .mostFaults = mostFaults});
}

/// Faults of one kind, `on_s` long and `off_s` apart, over the whole session.
void repeat(PairPlan& plan, FaultKind kind, double magnitude, double on_s, double off_s) {
    plan.faults.clear();
    for (double start_s = off_s; start_s + on_s < plan.reference.duration_s; start_s += on_s + off_s)
        plan.faults.push_back({kind, FaultOn::Test, start_s, start_s + on_s, magnitude});
}

PairPlan smoothedByDevice(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed);
    plan.test.smoothing = random.chance(0.5) ? Smoothing::OnePole : Smoothing::MovingAverage;
    plan.test.smoothing_s = random.uniform(10, 30);
    return plan;
}

PairPlan constantBias(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed);
    plan.test.bias_bpm = random.uniform(6, 15) * (random.chance(0.5) ? 1 : -1);
    return plan;
}

PairPlan halfOfItDropped(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed);
    const double length_s = random.uniform(20, 120);
    repeat(plan, FaultKind::Dropout, 0, length_s, length_s * random.uniform(0.8, 1.2));
    return plan;
}

PairPlan halfOfItLost(std::uint64_t seed) {
    PairPlan plan = drawn(seed);
    plan.test.sampling.lossShare = 0.5;
    return plan;
}

PairPlan halfRateForLong(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed);
    const double length_s = random.uniform(60, 240);
    repeat(plan, FaultKind::HalfRate, random.uniform(0.49, 0.51), length_s, length_s * 2.3);
    return plan;
}

PairPlan minutesOff(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed);
    plan.test.clockOffset_s = random.uniform(60, 285) * (random.chance(0.5) ? 1 : -1);
    return plan;
}

PairPlan hoursAndMinutesOff(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed);
    plan.test.clockOffset_s =
        1800.0 * random.integer(1, 22) * (random.chance(0.5) ? 1 : -1) + random.uniform(-240, 240);
    return plan;
}

PairPlan longerTest(std::uint64_t seed) {
    PairPlan plan = drawn(seed);
    plan.test.start_s = -600;
    plan.test.end_s = plan.reference.duration_s + 900;
    return plan;
}

PairPlan beatsOnly(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed);
    plan.reference.sampling = {.style = SamplingStyle::Beats, .rounding_bpm = 0.0};
    return plan;
}

PairPlan driftOverSixHours(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed, 20000, 23000);
    plan.test.clockDrift_ppm = random.chance(0.5) ? 50 : -50;
    return plan;
}

/// Rising stages and a fall at the end.
PairPlan stepTest(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed, 1500, 2700, 0);
    auto& activity = plan.activity;
    const double stage_s = random.integer(2, 4) * 60.0, end_s = plan.reference.duration_s - 240;
    const double reserve_bpm = activity.peak_bpm - activity.resting_bpm;
    const int stages = static_cast<int>(end_s / stage_s);
    activity.phases.clear();
    for (int i = 0; i < stages; ++i) {
        const double rate = activity.resting_bpm + reserve_bpm * (0.2 + 0.8 * (i + 1) / stages);
        activity.phases.push_back({"stage", i * stage_s, (i + 1) * stage_s, rate, rate, 60, true});
    }
    const double easy_bpm = activity.resting_bpm + 0.25 * reserve_bpm;
    activity.phases.push_back(
        {"cool-down", stages * stage_s, plan.reference.duration_s, easy_bpm, easy_bpm, 0, false});
    return plan;
}

PairPlan sampledEvery(std::uint64_t seed, double interval_s) {
    PairPlan plan = drawn(seed);
    plan.test.sampling = {.interval_s = interval_s};
    return plan;
}

PairPlan secondHalfOnly(std::uint64_t seed) {
    PairPlan plan = drawn(seed);
    plan.test.start_s = plan.reference.duration_s * 0.55;
    return plan;
}

PairPlan oneWayLags(std::uint64_t seed) {
    RandomStream random{seed, "strain"};
    PairPlan plan = drawn(seed);
    plan.faults.clear();
    bool second = false;
    for (const auto& phase : plan.activity.phases) {
        if (phase.effort && (second = !second) && phase.start_s + 130 < plan.reference.duration_s)
            plan.faults.push_back(
                {FaultKind::Lag, FaultOn::Test, phase.start_s, phase.start_s + 120, random.uniform(12, 30)});
    }
    return plan;
}

PairPlan quarterHours(std::uint64_t seed) {
    return drawn(seed, 900, 960, 4);
}

PairPlan usual(std::uint64_t seed) {
    return drawn(seed);
}

}  // namespace

std::vector<Strain> strains() {
    using enum alignment::ClockKnowledge;
    return {{"smoothed by 10-30 s", smoothedByDevice, Dated},
            {"constant bias", constantBias, Dated},
            {"half dropped out", halfOfItDropped, Dated},
            {"half of samples lost", halfOfItLost, Dated},
            {"half rate 30 % of time", halfRateForLong, Dated},
            {"every other rise lags", oneWayLags, Dated},
            {"1 to 5 min off", minutesOff, Dated},
            {"hours and minutes off", hoursAndMinutesOff, Dated},
            {"test longer both ways", longerTest, Dated},
            {"second half only", secondHalfOnly, Dated},
            {"beats as reference", beatsOnly, Dated},
            {"50 ppm over 6 h", driftOverSixHours, Dated},
            {"step test", stepTest, Dated},
            {"15 min, 4 faults", quarterHours, Dated},
            {"every 5 s", [](std::uint64_t seed) { return sampledEvery(seed, 5); }, Dated},
            {"every 10 s", [](std::uint64_t seed) { return sampledEvery(seed, 10); }, Dated},
            {"every 60 s", [](std::uint64_t seed) { return sampledEvery(seed, 60); }, Dated},
            {"zone unknown", hoursAndMinutesOff, ZoneUnknown},
            {"no date", usual, Undated}};
}

}  // namespace beatwitness::tests
