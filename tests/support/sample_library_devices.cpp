#include "tests/support/sample_library_devices.h"

#include <algorithm>
#include <utility>

namespace beatwitness::tests {

Stretch during(const SampleSession& session, std::string_view name, double sooner_s, double later_s) {
    Stretch stretch{1e9, 0.0};
    for (const auto& phase : session.plan.activity.phases) {
        if (phase.name != name) continue;
        stretch.start_s = std::min(stretch.start_s, phase.start_s - sooner_s);
        stretch.end_s = std::max(stretch.end_s, phase.end_s + later_s);
    }
    return stretch;
}

Stretch within(const SampleSession& session, std::string_view name, double after_s, double length_s) {
    const double start_s = during(session, name).start_s + after_s;
    return {start_s, start_s + length_s};
}

FaultPlan fault(FaultKind kind, Stretch stretch, double magnitude) {
    return {kind, FaultOn::Test, stretch.start_s, stretch.end_s, magnitude};
}

FaultPlan strapFault(FaultKind kind, Stretch stretch) {
    return {kind, FaultOn::Reference, stretch.start_s, stretch.end_s, 0.0};
}

SampleSession session(std::string name, std::string activity, SampleSetting setting, std::int64_t start_us,
                      ActivityPlan body, SampleSource strap) {
    SampleSession made;
    made.name = std::move(name);
    made.activity = std::move(activity);
    made.setting = setting;
    made.strap = std::move(strap);
    made.plan.seed = body.seed;
    made.plan.start_us = start_us;
    made.plan.reference.noise_bpm = 0.2;
    made.plan.reference.duration_s = body.phases.back().end_s;
    made.plan.activity = std::move(body);
    made.plan.heartFrom_s = -60;
    made.plan.lapEachPhase = true;
    return made;
}

TestPlan worn(const SampleSession& session, double start_s, double clockOffset_s) {
    TestPlan plan;
    plan.start_s = start_s;
    plan.end_s = session.plan.reference.duration_s + 14 + start_s / 2;
    plan.clockOffset_s = clockOffset_s;
    return plan;
}

SampleDevice band(const SampleSession& session, double start_s, double clockOffset_s, SampleSource source,
                  std::vector<FaultPlan> faults) {
    SampleDevice device{"band",
                        "Harbour band",
                        "2.4",
                        "wrist",
                        "left",
                        "snug",
                        "workout",
                        {},
                        false,
                        std::move(source),
                        worn(session, start_s, clockOffset_s),
                        std::move(faults),
                        session.plan.seed * 10 + 1};
    device.plan.sampling = {.phase_s = 0.4, .lossShare = 0.004};
    device.plan.smoothing = Smoothing::MovingAverage;
    device.plan.smoothing_s = 4;
    device.plan.delay_s = 1.5;
    device.plan.restNoise_bpm = 0.6;
    device.plan.effortNoise_bpm = 1.5;
    return device;
}

SampleDevice watch(const SampleSession& session, double start_s, double clockOffset_s, SampleSource source,
                   std::vector<FaultPlan> faults) {
    SampleDevice device{"watch",
                        "Harbour watch",
                        "7.1",
                        "wrist",
                        "right",
                        "snug",
                        "workout",
                        {},
                        false,
                        std::move(source),
                        worn(session, start_s, clockOffset_s),
                        std::move(faults),
                        session.plan.seed * 10 + 2};
    device.plan.smoothing = Smoothing::OnePole;
    device.plan.smoothing_s = 3;
    device.plan.delay_s = 1.0;
    device.plan.restNoise_bpm = 0.4;
    device.plan.effortNoise_bpm = 0.9;
    device.plan.bias_bpm = -0.4;
    return device;
}

SampleDevice newBand(const SampleSession& session, double start_s, double clockOffset_s, SampleSource source,
                     std::vector<FaultPlan> faults) {
    auto device = band(session, start_s, clockOffset_s, std::move(source), std::move(faults));
    device.firmware = "2.5";
    device.plan.restNoise_bpm = 0.5;
    device.plan.effortNoise_bpm = 1.3;
    return device;
}

SampleDevice exportedBand(const SampleSession& session, double start_s, double clockOffset_s,
                          std::vector<FaultPlan> faults) {
    auto device = newBand(session, start_s, clockOffset_s, {}, std::move(faults));
    device.plan.sampling = {.style = SamplingStyle::OnChange, .interval_s = 5, .lossShare = 0.002};
    return device;
}

void takeBeats(SampleSession& session) {
    session.plan.reference.sampling = {.style = SamplingStyle::Beats, .rounding_bpm = 0.0};
    session.plan.reference.noise_bpm = 0.1;
    session.plan.lapEachPhase = false;
}

}  // namespace beatwitness::tests
