#include "tests/support/scenario.h"

#include <algorithm>
#include <array>
#include <utility>

namespace beatwitness::tests {

namespace {

/// Lays phases end to end until the session is full.
class PhaseWriter {
public:
    PhaseWriter(ActivityPlan& plan, double duration_s) : plan_(&plan), duration_s_(duration_s) {}

    [[nodiscard]] bool full() const { return time_s_ >= duration_s_; }
    [[nodiscard]] double left_s() const { return duration_s_ - time_s_; }

    /// `share` and `endShare`: of the reserve between rest and peak.
    void add(std::string name, double length_s, double share, double cadence, bool effort, double endShare) {
        if (full()) return;
        const double end_s = std::min(time_s_ + length_s, duration_s_);
        plan_->phases.push_back(
            {std::move(name), time_s_, end_s, rate(share), rate(endShare), cadence, effort});
        time_s_ = end_s;
    }
    void add(std::string name, double length_s, double share, double cadence, bool effort = false) {
        add(std::move(name), length_s, share, cadence, effort, share);
    }

private:
    [[nodiscard]] double rate(double share) const {
        return plan_->resting_bpm + share * (plan_->peak_bpm - plan_->resting_bpm);
    }

    ActivityPlan* plan_;
    double duration_s_;
    double time_s_ = 0.0;
};

std::string numbered(std::string_view name, int number) {
    return std::string{name} + " " + std::to_string(number);
}

void rowIntervals(PhaseWriter& write, RandomStream& random) {
    const double effort_s = random.integer(4, 12) * 30.0, pause_s = random.integer(4, 8) * 30.0;
    const double strokes = random.uniform(24, 30), looseness = random.chance(0.4) ? 0.0 : 0.25;
    write.add("warm-up", random.uniform(240, 600), random.uniform(0.35, 0.55), strokes - 6);
    for (int i = 1; write.left_s() > effort_s + 240 && i <= 12; ++i) {
        const double share = random.uniform(0.85, 1.0);
        write.add(numbered("effort", i), effort_s * random.uniform(1 - looseness, 1 + looseness),
                  share - 0.04, strokes + random.uniform(-2, 4), true, share);
        write.add("recovery", pause_s * random.uniform(1 - looseness, 1 + looseness),
                  random.uniform(0.4, 0.6), strokes - 8);
    }
    write.add("cool-down", write.left_s(), 0.3, strokes - 8);
}

void rowSteady(PhaseWriter& write, RandomStream& random) {
    write.add("warm-up", random.uniform(240, 500), random.uniform(0.3, 0.45), 18);
    for (int i = 1; write.left_s() > 300; ++i)
        write.add(numbered("steady", i), random.uniform(400, 1200), random.uniform(0.6, 0.8),
                  random.uniform(19, 24), true);
    write.add("cool-down", write.left_s(), 0.25, 16);
}

void walkHills(PhaseWriter& write, RandomStream& random) {
    write.add("approach", random.uniform(180, 420), random.uniform(0.3, 0.45), random.uniform(105, 120));
    for (int i = 1; write.left_s() > 300; ++i) {
        const double share = random.uniform(0.6, 0.8);
        write.add(numbered("climb", i), random.uniform(480, 720), share, random.uniform(92, 112), true,
                  share + 0.15);
        if (random.chance(0.4)) write.add("stop", random.uniform(60, 180), 0.2, 0);
        write.add("descent", random.uniform(240, 600), random.uniform(0.3, 0.45), random.uniform(108, 125));
    }
    write.add("home", write.left_s(), 0.35, 112);
}

void swingKettlebells(PhaseWriter& write, RandomStream& random) {
    write.add("warm-up", random.uniform(180, 360), 0.35, 8);
    for (int round = 1; write.left_s() > 240; ++round) {
        for (int set = random.integer(3, 6); set > 0; --set) {
            write.add(numbered("round", round), random.uniform(20, 40), random.uniform(0.85, 1.1),
                      random.uniform(16, 26), true);
            write.add("breather", random.uniform(20, 50), random.uniform(0.4, 0.55), 0);
        }
        write.add("pause", random.uniform(60, 150), random.uniform(0.25, 0.35), 0);
    }
    write.add("cool-down", write.left_s(), 0.2, 0);
}

void runTempo(PhaseWriter& write, RandomStream& random) {
    const double steps = random.uniform(160, 176);
    write.add("warm-up", random.uniform(300, 600), random.uniform(0.45, 0.6), steps - 4);
    for (int i = 1; write.left_s() > 300; ++i) {
        const double share = random.uniform(0.7, 0.9);
        write.add(numbered("tempo", i), random.uniform(300, 900), share, steps + random.uniform(-3, 6), true,
                  share + 0.05);
        write.add("easy", random.uniform(120, 300), random.uniform(0.4, 0.6), steps - 8);
    }
    write.add("cool-down", write.left_s(), 0.3, 118);
}

void sprint(PhaseWriter& write, RandomStream& random) {
    write.add("warm-up", random.uniform(300, 500), random.uniform(0.35, 0.5), 158);
    for (int i = 1; write.left_s() > 200; ++i) {
        write.add(numbered("sprint", i), random.uniform(10, 30), random.uniform(1.0, 1.2), 190, true);
        write.add("walk", random.uniform(60, 180), random.uniform(0.25, 0.4), 104);
    }
    write.add("cool-down", write.left_s(), 0.2, 100);
}

void liveADay(PhaseWriter& write, RandomStream& random) {
    write.add("sleep", random.uniform(0.2, 0.32) * write.left_s(), 0.0, 0, false, 0.03);
    int walks = 0, workouts = 0;
    while (!write.full()) {
        const double kind = random.uniform();
        if (kind < 0.6) {
            write.add("desk", random.uniform(300, 4200), random.uniform(0.05, 0.18), 0);
        } else if (kind < 0.95 || workouts >= 3) {
            write.add(numbered("walk", ++walks), random.uniform(120, 1500), random.uniform(0.25, 0.5),
                      random.uniform(95, 118), true);
        } else {
            ++workouts;
            for (int i = random.integer(3, 6); i > 0; --i) {
                write.add(numbered("workout", workouts), random.uniform(120, 400), random.uniform(0.7, 0.95),
                          164, true);
                write.add("recovery", random.uniform(90, 200), random.uniform(0.35, 0.5), 120);
            }
        }
    }
}

void fillPhases(Activity activity, PhaseWriter& write, RandomStream& random) {
    switch (activity) {
        case Activity::RowingIntervals:
            return rowIntervals(write, random);
        case Activity::RowingSteady:
            return rowSteady(write, random);
        case Activity::HillWalk:
            return walkHills(write, random);
        case Activity::KettlebellCircuit:
            return swingKettlebells(write, random);
        case Activity::TempoRun:
            return runTempo(write, random);
        case Activity::Sprints:
            return sprint(write, random);
        case Activity::Rest:
            return write.add("rest", write.left_s(), 0.02, 0);
        case Activity::WholeDay:
            return liveADay(write, random);
        case Activity::StraightRamp:
            return write.add("ramp", write.left_s(), 0.25, 0, true, 0.25);
    }
}

Fluctuation drawFluctuation(Activity activity, RandomStream& random) {
    Fluctuation size;
    size.beat_bpm = random.uniform(0.2, 0.9);
    size.slow_bpm = random.uniform(0.4, 1.8);
    size.breath_bpm = random.uniform(0.3, 3.0);
    size.wander_bpm = random.chance(0.3) ? random.uniform(1.0, 3.0) : 0.0;
    if (activity == Activity::WholeDay) size.wander_bpm = random.uniform(2.0, 5.0);
    if (activity == Activity::Rest) size.wander_bpm = 0.0;
    if (activity == Activity::StraightRamp) size = {0.1, 0.1, 0.0, 0.0};
    return size;
}

/// A ramp that the heart follows at a constant distance from the first second on stays straight.
void straighten(ActivityPlan& plan, double duration_s) {
    constexpr double slope_bpm_per_s = 0.02;
    auto& ramp = plan.phases.front();
    ramp.endTarget_bpm = std::min(ramp.target_bpm + slope_bpm_per_s * duration_s, 190.0);
    const double slope = (ramp.endTarget_bpm - ramp.target_bpm) / duration_s;
    plan.kinetics.fastShare = 0.0;
    plan.initial_bpm = ramp.target_bpm - slope * plan.kinetics.onTau_s;
}

}  // namespace

std::string_view activityName(Activity activity) {
    constexpr std::array<std::string_view, 9> names{"rowing ergometer, intervals",
                                                    "rowing ergometer, steady",
                                                    "hill walk",
                                                    "kettlebell circuit",
                                                    "tempo run",
                                                    "sprints",
                                                    "rest",
                                                    "whole day",
                                                    "straight ramp"};
    return names[static_cast<std::size_t>(activity)];
}

ActivityPlan planActivity(Activity activity, double duration_s, RandomStream& random) {
    ActivityPlan plan;
    plan.activity = activity;
    plan.resting_bpm = random.uniform(45, 75);
    plan.peak_bpm = random.uniform(activity == Activity::HillWalk ? 120 : 145, 190);
    plan.initial_bpm = plan.resting_bpm + random.uniform(0, 0.15) * (plan.peak_bpm - plan.resting_bpm);
    plan.kinetics = {random.uniform(15, 40), random.uniform(30, 70),
                     random.chance(0.5) ? random.uniform(0.05, 0.3) : 0.0};
    plan.fluctuation = drawFluctuation(activity, random);
    plan.seed = random.bits();
    PhaseWriter write{plan, duration_s};
    fillPhases(activity, write, random);
    if (activity == Activity::Rest) plan.initial_bpm = plan.phases.front().target_bpm;
    if (activity == Activity::StraightRamp) straighten(plan, duration_s);
    return plan;
}

}  // namespace beatwitness::tests
