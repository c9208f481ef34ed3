#include <algorithm>

#include "tests/support/generator.h"

namespace beatwitness::tests {

namespace {

PairPlan plainPlan(Activity activity, std::uint64_t seed) {
    return randomPlan(seed, {.shortest_s = 2400,
                             .longest_s = 3600,
                             .mostFaults = 0,
                             .referenceFaults = false,
                             .activity = activity});
}

/// Nothing but equal intervals, and a test that begins late and stops early: every period looks like the
/// next.
PairPlan intervalsOnly(std::uint64_t seed) {
    RandomStream random{seed, "regular intervals"};
    PairPlan plan = plainPlan(Activity::RowingIntervals, seed);
    auto& activity = plan.activity;
    const double half_s = random.integer(3, 6) * 10.0;
    activity.fluctuation = {0.05, 0.05, 0.0, 0.0};
    activity.phases.clear();
    for (double time_s = -240.0; time_s < plan.reference.duration_s; time_s += 2 * half_s) {
        activity.phases.push_back(
            {"effort", time_s, time_s + half_s, activity.peak_bpm, activity.peak_bpm, 28, true});
        activity.phases.push_back({"recovery", time_s + half_s, time_s + 2 * half_s, activity.resting_bpm,
                                   activity.resting_bpm, 0, false});
    }
    plan.test.start_s = 3 * half_s;
    plan.test.end_s = plan.reference.duration_s - 6 * half_s;
    plan.test.effortNoise_bpm = std::min(plan.test.effortNoise_bpm, 1.0);
    return plan;
}

}  // namespace

PairPlan hardPlan(HardCase hardCase, std::uint64_t seed) {
    RandomStream random{seed, "hard case"};
    PairPlan plan = plainPlan(Activity::RowingIntervals, seed);
    switch (hardCase) {
        case HardCase::Unrelated:
            plan.strangerOnTest =
                plainPlan(random.chance(0.5) ? Activity::RowingIntervals : Activity::HillWalk,
                          seed ^ 0x5eedULL)
                    .activity;
            return plan;
        case HardCase::FlatRest:
            return plainPlan(Activity::Rest, seed);
        case HardCase::StraightRamp:
            return plainPlan(Activity::StraightRamp, seed);
        case HardCase::NoOverlap: {
            const double length_s = plan.reference.duration_s;
            plan.test.start_s = -2.0 * length_s;
            plan.test.end_s = -length_s;
            return plan;
        }
        case HardCase::ShortOverlap:
            plan.test.start_s = plan.reference.duration_s - 180.0;
            plan.test.end_s = plan.reference.duration_s + 600.0;
            return plan;
        case HardCase::RegularIntervals:
            return intervalsOnly(seed);
    }
    return plan;
}

}  // namespace beatwitness::tests
