#include "tests/support/sample_library.h"

/// What the wearer did, session by session; targets in bpm, cadence in strokes, steps or turns a minute.
namespace beatwitness::tests::sample_bodies {

namespace {

/// The one wearer: resting 56, peak 182.
ActivityPlan wearer(Activity activity, std::uint64_t seed) {
    ActivityPlan plan;
    plan.activity = activity;
    plan.resting_bpm = 56;
    plan.peak_bpm = 182;
    plan.initial_bpm = 72;
    plan.kinetics = {27, 48, 0.1};
    plan.fluctuation = {0.4, 0.9, 0.0, 1.2};
    plan.seed = seed;
    return plan;
}

/// Lays phases end to end.
class Phases {
public:
    explicit Phases(ActivityPlan& plan) : plan_(&plan) {}

    Phases& add(std::string name, double length_s, double from_bpm, double to_bpm, double cadence,
                bool effort = false) {
        plan_->phases.push_back(
            {std::move(name), time_s_, time_s_ + length_s, from_bpm, to_bpm, cadence, effort});
        time_s_ += length_s;
        return *this;
    }
    Phases& effort(std::string name, double length_s, double from_bpm, double to_bpm, double cadence) {
        return add(std::move(name), length_s, from_bpm, to_bpm, cadence, true);
    }

private:
    ActivityPlan* plan_;
    double time_s_ = 0.0;
};

std::string numbered(std::string_view name, int number) {
    return std::string{name} + " " + std::to_string(number);
}

}  // namespace

ActivityPlan ergometerSteady(std::uint64_t seed) {
    auto plan = wearer(Activity::RowingSteady, seed);
    Phases{plan}
        .add("warm-up", 300, 98, 112, 17)
        .effort("steady 1", 1200, 138, 146, 20)
        .add("drink", 75, 100, 95, 0)
        .effort("steady 2", 1125, 143, 156, 21)
        .add("cool-down", 270, 88, 84, 16);
    return plan;
}

ActivityPlan ergometerSprints(std::uint64_t seed) {
    auto plan = wearer(Activity::RowingIntervals, seed);
    Phases phases{plan};
    phases.add("warm-up", 480, 104, 118, 19);
    const int lengths_s[]{108, 107, 109, 108, 110, 111, 109, 104};
    for (int i = 0; i < 8; ++i) {
        phases.effort(numbered("500 m", i + 1), lengths_s[i], 172 + i, 178 + i, 30);
        phases.add("paddle", i == 7 ? 60 : 100 + 10 * (i % 3), 116, 114, 16);
    }
    phases.add("cool-down", 300, 92, 84, 15);
    return plan;
}

ActivityPlan ergometerPyramid(std::uint64_t seed) {
    auto plan = wearer(Activity::RowingIntervals, seed);
    Phases phases{plan};
    phases.add("warm-up", 420, 104, 115, 19);
    const int minutes[]{1, 2, 3, 4, 3, 2, 1};
    for (int i = 0; i < 7; ++i) {
        phases.effort(numbered("step", i + 1), 60 * minutes[i], 170 - minutes[i], 176, 31 - minutes[i]);
        phases.add("paddle", 45 + 30 * minutes[i], 120, 118, 17);
    }
    phases.add("cool-down", 330, 92, 85, 16);
    return plan;
}

ActivityPlan northRidge(std::uint64_t seed) {
    auto plan = wearer(Activity::HillWalk, seed);
    Phases{plan}
        .add("approach", 420, 96, 100, 112)
        .effort("climb 1", 660, 126, 141, 104)
        .add("gate", 90, 92, 88, 0)
        .effort("climb 2", 780, 138, 152, 98)
        .add("summit", 150, 88, 82, 0)
        .add("descent", 900, 102, 96, 118)
        .add("home", 300, 98, 94, 114);
    return plan;
}

ActivityPlan reservoir(std::uint64_t seed) {
    auto plan = wearer(Activity::HillWalk, seed);
    Phases{plan}
        .add("approach", 300, 95, 98, 114)
        .effort("dam steps", 300, 136, 150, 96)
        .add("shore 1", 840, 103, 108, 116)
        .effort("east bank", 540, 128, 138, 106)
        .add("shore 2", 480, 106, 104, 117)
        .effort("spillway", 240, 140, 152, 98)
        .add("home", 480, 100, 96, 113);
    return plan;
}

ActivityPlan polesInWind(std::uint64_t seed) {
    auto plan = wearer(Activity::HillWalk, seed);
    Phases{plan}
        .add("approach", 360, 100, 106, 110)
        .effort("climb 1", 600, 134, 150, 100)
        .add("traverse", 420, 116, 120, 112)
        .effort("climb 2", 600, 144, 158, 94)
        .add("shelter", 120, 92, 86, 0)
        .add("descent", 780, 108, 102, 116)
        .add("home", 240, 100, 96, 112);
    return plan;
}

ActivityPlan kettlebells(std::uint64_t seed, int rounds) {
    auto plan = wearer(Activity::KettlebellCircuit, seed);
    Phases phases{plan};
    phases.add("warm-up", 300, 96, 104, 10);
    for (int round = 1; round <= rounds; ++round) {
        for (int set = 0; set < 4; ++set) {
            phases.effort(numbered("round", round), 38 + 2 * ((round + set) % 3), 172 + round, 176 + round,
                          22);
            phases.add(set < 3 ? numbered("breather", round) : "pause", set < 3 ? 22 + 2 * (set % 2) : 115,
                       set < 3 ? 128 : 104, set < 3 ? 126 : 98, 0);
        }
    }
    phases.add("cool-down", 240, 84, 78, 0);
    return plan;
}

ActivityPlan coastRide(std::uint64_t seed) {
    auto plan = wearer(Activity::TempoRun, seed);
    Phases{plan}
        .add("roll out", 420, 104, 112, 78)
        .effort("coast road", 960, 134, 142, 88)
        .add("village", 180, 108, 104, 64)
        .effort("headwind", 780, 148, 156, 84)
        .add("tailwind", 360, 124, 118, 90)
        .add("roll in", 300, 98, 90, 70);
    return plan;
}

ActivityPlan harbourLoop(std::uint64_t seed) {
    auto plan = wearer(Activity::TempoRun, seed);
    Phases phases{plan};
    phases.add("roll out", 400, 104, 110, 80);
    for (int sprint = 1; sprint <= 4; ++sprint) {
        phases.add("quay", 200 + 15 * (sprint % 3), 122, 126, 84);
        phases.effort(numbered("sprint", sprint), 140, 160 + 2 * sprint, 168 + 2 * sprint, 98);
    }
    phases.add("roll in", 330, 102, 92, 74);
    return plan;
}

ActivityPlan hillRide(std::uint64_t seed) {
    auto plan = wearer(Activity::TempoRun, seed);
    Phases phases{plan};
    phases.add("roll out", 480, 106, 114, 80);
    for (int climb = 1; climb <= 4; ++climb) {
        phases.effort(numbered("climb", climb), 330 + 30 * (climb % 3), 156 + 2 * climb, 164 + 2 * climb, 76);
        phases.add(numbered("descent", climb), 210 + 20 * (climb % 2), 110, 106, 40);
    }
    phases.add("roll in", 300, 100, 92, 72);
    return plan;
}

ActivityPlan lyingStill(std::uint64_t seed) {
    auto plan = wearer(Activity::Rest, seed);
    plan.initial_bpm = 57;
    plan.fluctuation = {0.5, 1.0, 0.0, 1.6};
    Phases{plan}.add("lying still", 1260, 57, 56, 0);
    return plan;
}

}  // namespace beatwitness::tests::sample_bodies
