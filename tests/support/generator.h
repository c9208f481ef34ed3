#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/recording/recording.h"
#include "tests/support/scenario.h"

/// Seeded recording pairs with known truth.
///
/// Signs, session time and kinds follow the batch contract. No number here comes from core: the generator is
/// what core is judged by. The same plan gives the same pair on every machine.
namespace beatwitness::tests {

enum class FaultKind {
    Lag,
    MissedRise,
    HalfRate,
    DoubleRate,
    CadenceLock,
    Stuck,
    Dropout,
    Spike,
    Damped,
    Adrift,
    Noise,  ///< reference only: a dry electrode's erratic plateaus; a train of spikes to the contract
};

/// As the batch contract writes it (`noise` is `spike` there).
[[nodiscard]] std::string_view contractKind(FaultKind kind);

enum class FaultOn { Test, Reference };

/// A fault as ordered. start_s and end_s are session time after alignment.
///
/// `magnitude`: lag s; missed rise and damped the share of the change that is followed; half- and double-rate
/// the ratio; cadence lock the multiple of the cadence as stored; spike bpm of the jump; adrift bpm; else
/// unused.
struct FaultPlan {
    FaultKind kind = FaultKind::Dropout;
    FaultOn on = FaultOn::Test;
    double start_s = 0.0;
    double end_s = 0.0;
    double magnitude = 0.0;
};

enum class SamplingStyle {
    Regular,    ///< every interval_s, at phase_s past whole multiples on the device's own clock
    Irregular,  ///< steps of 1 s up to interval_s, at random
    OnChange,   ///< each second is looked at; written when the value changed or interval_s have passed
    Beats,      ///< at every beat
};

struct SamplingPlan {
    SamplingStyle style = SamplingStyle::Regular;
    double interval_s = 1.0;
    double phase_s = 0.0;
    double lossShare = 0.0;     ///< of samples, lost one by one at random
    double rounding_bpm = 1.0;  ///< 0: not rounded
};

enum class Smoothing { None, MovingAverage, OnePole };

struct ReferencePlan {
    SamplingPlan sampling;
    double noise_bpm = 0.3;
    double duration_s = 2700.0;
};

struct TestPlan {
    SamplingPlan sampling;
    Smoothing smoothing = Smoothing::None;
    double smoothing_s = 0.0;  ///< width of the average, or time constant
    double delay_s = 0.0;      ///< on top of the smoothing
    double restNoise_bpm = 0.5;
    double effortNoise_bpm = 1.5;  ///< at peak; linear between
    double bias_bpm = 0.0;         ///< constant
    double start_s = 0.0;          ///< session time, true
    double end_s = 2700.0;
    /// What must be added to the test's clock at t0, delay not counted; the contract's sign.
    double clockOffset_s = 0.0;
    double clockDrift_ppm = 0.0;  ///< the contract's sign
};

enum class CadencePlace { None, Reference, Test };

struct PairPlan {
    std::uint64_t seed = 1;  ///< of noise, loss and irregular sampling
    ActivityPlan activity;
    ReferencePlan reference;
    TestPlan test;
    std::vector<FaultPlan> faults;
    CadencePlace cadence = CadencePlace::Reference;
    bool storesStrides = false;  ///< cadence as stored is half of the body's
    bool lapEachPhase = false;   ///< the reference's lap key was pressed between phases
    /// Session time from which on the heart is made, where several pairs share one session: its motion
    /// depends on where it begins. Unset: the earlier of 0 and the test's start.
    std::optional<double> heartFrom_s;
    std::optional<std::uint64_t> testSeed;  ///< of the test's noise, loss and faults; unset: `seed`
    /// The test recorded somebody else.
    std::optional<ActivityPlan> strangerOnTest;
    std::int64_t start_us = 1930286520000000;  ///< t0 in microseconds since 1970; 2031-03-03T06:42:00Z
};

/// A fault as it came out.
struct TrueFault {
    FaultPlan plan;  ///< kind, side, ordered stretch (session time after alignment)
    /// The seconds that are wrong because of it: for gaps those strictly between the samples; elsewhere first
    /// and last second of the stretch with an error of 4 bpm or more (adrift: above max(10 bpm, 10 %)).
    double start_s = 0.0;
    double end_s = 0.0;
    double magnitude = 0.0;  ///< in the contract's unit for the kind
};

struct Truth {
    Activity activity = Activity::RowingIntervals;
    std::vector<Phase> phases;
    std::vector<TrueFault> faults;
    std::vector<double> rate_bpm;  ///< the heart at session seconds 0, 1, …
    std::vector<double>
        steadyTest_bpm;          ///< what the test would say there, after alignment, without faults and noise
    double clockOffset_s = 0.0;  ///< as applied, the contract's sign
    double clockDrift_ppm = 0.0;
    double constantDelay_s = 0.0;  ///< delay and smoothing of the test
    /// clockOffset_s - constantDelay_s: the estimand but for what smoothing and noise do to it.
    double nominalOffset_s = 0.0;
    bool related = true;
};

struct GeneratedPair {
    recording::Recording reference;
    recording::Recording test;
    /// Rows of the file that hold no heart rate (parts of dropouts and losses), by their time.
    std::vector<RecordingTime> emptyReferenceRows;
    std::vector<RecordingTime> emptyTestRows;
    Truth truth;
};

/// 24 h take about 0.1 s.
[[nodiscard]] GeneratedPair generatePair(const PairPlan& plan);

/// What randomPlan() may draw.
struct PlanLimits {
    double shortest_s = 900.0;
    double longest_s = 5400.0;  ///< 86400 lets whole days in
    int mostFaults = 5;         ///< on the test
    bool referenceFaults = true;
    bool wholeHours = false;           ///< offsets of whole and half hours too
    double largestOffset_s = 60.0;     ///< otherwise, either sign
    double largestDrift_ppm = 0.0;     ///< only drawn for sessions above 2 h
    std::optional<Activity> activity;  ///< unset: any but rest, ramp and (below 8 h) whole day
};

[[nodiscard]] PairPlan randomPlan(std::uint64_t seed, const PlanLimits& limits = {});

/// Pairs that must be refused or treated with care.
enum class HardCase {
    Unrelated,         ///< two sessions of different people
    FlatRest,          ///< reference p95 - p5 below 15 bpm
    StraightRamp,      ///< shift and bias are one
    NoOverlap,         ///< the test ends before the reference begins
    ShortOverlap,      ///< 3 min in common
    RegularIntervals,  ///< like intervals, every period the same, and the test lacks the ends: aliases by one
                       ///< period
};

[[nodiscard]] PairPlan hardPlan(HardCase hardCase, std::uint64_t seed);

}  // namespace beatwitness::tests
