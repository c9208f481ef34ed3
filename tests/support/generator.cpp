#include "tests/support/generator.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "tests/support/generator_sampling.h"
#include "tests/support/generator_signal.h"

namespace beatwitness::tests {

namespace {

constexpr double leadIn_s = 300.0;  ///< of steady state before the first sample, for smoothing and delay

RecordingTime recordingTime(std::int64_t time_us) {
    return RecordingTime{Micros{time_us}};
}

std::uint64_t testSeed(const PairPlan& plan) {
    return plan.testSeed.value_or(plan.seed);
}

void applyFaults(const PairPlan& plan, FaultOn on, Signal& signal, Truth& truth) {
    const bool onTest = on == FaultOn::Test;
    RandomStream random{onTest ? testSeed(plan) : plan.seed, onTest ? "test faults" : "reference faults"};
    for (const auto& fault : plan.faults) {
        if (fault.on != on) continue;
        applyFault(fault, signal, random);
        truth.faults.push_back(trueFault(fault, signal));
    }
}

Signal referenceSignal(const PairPlan& plan, const Body& body, Truth& truth) {
    Signal signal = signalOf(body, plan.storesStrides ? 0.5 : 1.0);
    applyFaults(plan, FaultOn::Reference, signal, truth);
    RandomStream random{plan.seed, "reference noise"};
    addNoise(signal, plan.activity, plan.reference.noise_bpm, plan.reference.noise_bpm, 1.0, random);
    return signal;
}

Signal testSignal(const PairPlan& plan, const Body& body, const ActivityPlan& activity, Truth& truth) {
    Signal signal = signalOf(body, plan.storesStrides ? 0.5 : 1.0);
    truth.constantDelay_s = plan.test.delay_s + smoothSteadily(signal, plan.test);
    applyFaults(plan, FaultOn::Test, signal, truth);
    RandomStream random{testSeed(plan), "test noise"};
    addNoise(signal, activity, plan.test.restNoise_bpm, plan.test.effortNoise_bpm, 5.0, random);
    return signal;
}

Samples sampleOf(const SamplingPlan& plan, const DeviceClock& clock, double first_s, double last_s,
                 const Signal& signal, RandomStream random) {
    const Sampled source{
        [&](double time_s) { return std::clamp(signal.grid.at(signal.shown_bpm, time_s), 26.0, 249.0); },
        [&](double time_s) {
            const double place = std::floor((time_s - signal.grid.begin_s) / signal.grid.step_s + 1e-6);
            const auto index = static_cast<std::size_t>(std::max(place, 0.0));
            return index < signal.lost.size() && signal.lost[index] != 0;
        }};
    return sample(plan, clock, first_s, last_s, source, random);
}

recording::Channel cadenceChannel(const Samples& samples, const DeviceClock& clock, const Signal& signal) {
    std::vector<std::int64_t> rows = samples.times_us;
    rows.insert(rows.end(), samples.emptyRows_us.begin(), samples.emptyRows_us.end());
    std::ranges::sort(rows);
    recording::Channel channel{recording::ChannelKind::Cadence, {}, {}};
    for (const auto row : rows) {
        channel.times.push_back(recordingTime(row));
        channel.values.push_back(std::round(signal.grid.at(signal.cadence_per_min, clock.toSession(row))));
    }
    return channel;
}

recording::Recording recordingOf(const Samples& samples, std::string device) {
    recording::Recording recording;
    recording.device = std::move(device);
    recording::Channel channel{recording::ChannelKind::HeartRate, {}, samples.values};
    for (const auto time_us : samples.times_us)
        channel.times.push_back(recordingTime(time_us));
    if (!channel.times.empty()) recording.channels.push_back(std::move(channel));
    recording.rows = samples.times_us.size() + samples.emptyRows_us.size();
    return recording;
}

std::vector<RecordingTime> rowTimes(const Samples& samples) {
    std::vector<RecordingTime> rows;
    for (const auto time_us : samples.emptyRows_us)
        rows.push_back(recordingTime(time_us));
    return rows;
}

std::vector<recording::Lap> lapsOf(const ActivityPlan& activity, const DeviceClock& clock, double end_s) {
    std::vector<recording::Lap> laps;
    for (const auto& phase : activity.phases) {
        const double begin_s = std::max(phase.start_s, 0.0), last_s = std::min(phase.end_s, end_s);
        if (begin_s >= last_s) continue;
        laps.push_back({{recordingTime(clock.fromSession(begin_s)), recordingTime(clock.fromSession(last_s))},
                        phase.name});
    }
    return laps;
}

/// A gap is the seconds strictly between the samples around it, and as long as from one of them to the other.
void measureGaps(const Samples& samples, const DeviceClock& clock, FaultOn on, Truth& truth) {
    for (auto& fault : truth.faults) {
        if (fault.plan.kind != FaultKind::Dropout || fault.plan.on != on) continue;
        const auto middle_us = clock.fromSession((fault.plan.start_s + fault.plan.end_s) / 2);
        const auto next = std::ranges::lower_bound(samples.times_us, middle_us);
        if (next == samples.times_us.begin() || next == samples.times_us.end()) continue;
        const double before_s = clock.toSession(*(next - 1)), after_s = clock.toSession(*next);
        fault.start_s = std::floor(before_s + 1e-6) + 1;
        fault.end_s = std::ceil(after_s - 1e-6) - 1;
        fault.magnitude = after_s - before_s;
    }
}

void describe(const PairPlan& plan, const Body& body, const Signal& test, Truth& truth) {
    truth.activity = plan.activity.activity;
    truth.phases = plan.activity.phases;
    truth.clockOffset_s = plan.test.clockOffset_s;
    truth.clockDrift_ppm = plan.test.clockDrift_ppm;
    truth.nominalOffset_s = truth.clockOffset_s - truth.constantDelay_s;
    truth.related = !plan.strangerOnTest;
    for (double second = 0.0; second <= plan.reference.duration_s; ++second) {
        truth.rate_bpm.push_back(body.rateAt(second));
        truth.steadyTest_bpm.push_back(test.grid.at(test.steady_bpm, second));
    }
}

}  // namespace

std::string_view contractKind(FaultKind kind) {
    constexpr std::array<std::string_view, 11> names{
        "lag",     "missed-rise", "half-rate", "double-rate", "cadence-lock", "stuck",
        "dropout", "spike",       "damped",    "adrift",      "spike"};
    return names[static_cast<std::size_t>(kind)];
}

GeneratedPair generatePair(const PairPlan& plan) {
    const double first_s = plan.heartFrom_s.value_or(std::min(0.0, plan.test.start_s)) - leadIn_s;
    const double last_s = std::max(plan.reference.duration_s, plan.test.end_s) + 60.0;
    const Body body = bodyOf(plan.activity, first_s, last_s);
    GeneratedPair pair;
    const Signal referenceShows = referenceSignal(plan, body, pair.truth);
    const ActivityPlan& tested = plan.strangerOnTest ? *plan.strangerOnTest : plan.activity;
    const Signal testShows =
        testSignal(plan, plan.strangerOnTest ? bodyOf(tested, first_s, last_s) : body, tested, pair.truth);
    describe(plan, body, testShows, pair.truth);

    const double phase_s = plan.reference.sampling.phase_s;
    const DeviceClock referenceClock{plan.start_us + std::llround(phase_s * 1e6), 0.0, 0.0};
    // On this clock a test sample falls where it belongs after alignment: its constant delay is part of the
    // offset.
    const DeviceClock testClock{referenceClock.t0_us, pair.truth.nominalOffset_s, plan.test.clockDrift_ppm};
    const auto reference = sampleOf(plan.reference.sampling, referenceClock, 0.0, plan.reference.duration_s,
                                    referenceShows, RandomStream{plan.seed, "reference sampling"});
    const double delay_s = pair.truth.constantDelay_s;
    const auto test =
        sampleOf(plan.test.sampling, testClock, plan.test.start_s - delay_s, plan.test.end_s - delay_s,
                 testShows, RandomStream{testSeed(plan), "test sampling"});

    pair.reference = recordingOf(reference, "Harbour strap");
    pair.test = recordingOf(test, "Harbour band");
    if (plan.cadence == CadencePlace::Reference)
        pair.reference.channels.push_back(cadenceChannel(reference, referenceClock, referenceShows));
    if (plan.cadence == CadencePlace::Test)
        pair.test.channels.push_back(cadenceChannel(test, testClock, testShows));
    if (plan.lapEachPhase)
        pair.reference.laps = lapsOf(plan.activity, referenceClock, plan.reference.duration_s);
    pair.emptyReferenceRows = rowTimes(reference);
    pair.emptyTestRows = rowTimes(test);
    measureGaps(reference, referenceClock, FaultOn::Reference, pair.truth);
    measureGaps(test, testClock, FaultOn::Test, pair.truth);
    std::ranges::stable_sort(pair.truth.faults, {}, [](const TrueFault& fault) { return fault.start_s; });
    return pair;
}

}  // namespace beatwitness::tests
