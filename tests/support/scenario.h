#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "tests/support/generator_random.h"

/// What a wearer does and what the heart answers. Times are session time in seconds: 0 at the reference's
/// first sample.
namespace beatwitness::tests {

enum class Activity {
    RowingIntervals,    ///< ergometer, efforts of 2 to 6 min
    RowingSteady,       ///< ergometer, one long stretch
    HillWalk,           ///< slow climbs of 8 to 12 min
    KettlebellCircuit,  ///< sets of 20 to 40 s
    TempoRun,           ///< steady run with a few changes of pace
    Sprints,            ///< 10 to 30 s, long pauses
    Rest,               ///< flat: nothing to align by
    WholeDay,           ///< sleep, desk, walks, one to three workouts
    StraightRamp,       ///< 0.02 bpm/s: a shift cannot be told from a bias
};

[[nodiscard]] std::string_view activityName(Activity activity);

struct Phase {
    std::string name;
    double start_s = 0.0;
    double end_s = 0.0;
    double target_bpm = 0.0;       ///< where the heart is heading when the phase begins …
    double endTarget_bpm = 0.0;    ///< … and when it ends; linear between
    double cadence_per_min = 0.0;  ///< strokes, steps or repetitions; 0 while still
    bool effort = false;
};

/// Exponential rise and fall (field guide, part 3).
struct Kinetics {
    double onTau_s = 25.0;
    double offTau_s = 45.0;
    double fastShare = 0.0;  ///< share of a change that follows with a time constant of 6 s (the vagal part)
};

/// Standard deviations, bpm, of what the heart does by itself.
struct Fluctuation {
    double beat_bpm = 0.5;    ///< correlated over 2 s
    double slow_bpm = 0.8;    ///< over 30 s
    double wander_bpm = 0.0;  ///< over 20 min
    double breath_bpm = 1.0;  ///< amplitude of the breathing wave at rest; fades with effort
};

struct ActivityPlan {
    Activity activity = Activity::RowingIntervals;
    double resting_bpm = 60.0;
    double peak_bpm = 175.0;
    double initial_bpm = 65.0;  ///< before the first phase, steady
    std::vector<Phase> phases;  ///< ascending, touching, the first begins at 0 or before
    Kinetics kinetics;
    Fluctuation fluctuation;
    std::uint64_t seed = 1;  ///< of the fluctuation
};

/// Phases that fill `duration_s`, with everything else drawn from `random`.
[[nodiscard]] ActivityPlan planActivity(Activity activity, double duration_s, RandomStream& random);

/// Values on a regular grid.
struct Grid {
    double begin_s = 0.0;
    double step_s = 0.5;

    [[nodiscard]] double time(std::size_t i) const { return begin_s + static_cast<double>(i) * step_s; }
    /// Linear between grid points, the end values beyond. Requires: values not empty.
    [[nodiscard]] double at(std::span<const double> values, double time_s) const;
};

/// The truth about a wearer.
struct Body {
    Grid grid;
    std::vector<double> rate_bpm;
    std::vector<double> cadence_per_min;

    [[nodiscard]] double rateAt(double time_s) const { return grid.at(rate_bpm, time_s); }
    [[nodiscard]] double cadenceAt(double time_s) const { return grid.at(cadence_per_min, time_s); }
};

/// Heart rate and cadence from begin_s to end_s. Linear time; 24 h take some 40 ms.
[[nodiscard]] Body bodyOf(const ActivityPlan& plan, double begin_s, double end_s);

}  // namespace beatwitness::tests
