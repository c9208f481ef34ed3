#include <algorithm>
#include <cmath>

#include "tests/support/sample_library.h"

namespace beatwitness::tests {

namespace {

using recording::ChannelKind;

const Phase& phaseAt(const std::vector<Phase>& phases, double time_s) {
    const auto next = std::ranges::upper_bound(phases, time_s, {}, &Phase::start_s);
    return next == phases.begin() ? phases.front() : *(next - 1);
}

/// W that the phase asks for: a heart that is to beat faster has more to push.
double powerOf(const Phase& phase, double cadence) {
    if (cadence < 8.0) return 0.0;
    const double middle_bpm = (phase.target_bpm + phase.endTarget_bpm) / 2.0;
    return std::max(2.0 * (middle_bpm - 68.0), 0.0);
}

/// m/s upwards; walks climb at some 500 m an hour.
double climbOf(const Phase& phase, SampleSetting setting) {
    const double scale = setting == SampleSetting::Bicycle ? 2.0 : 1.0;
    if (phase.effort) return 0.14 * scale;
    return phase.name.starts_with("descent") ? -0.2 * scale : 0.0;
}

/// m/s. Ergometers define it by the power, P = 2.8 v³; on the road drag and slope take their part.
double speedOf(SampleSetting setting, double power_w, double cadence) {
    if (setting == SampleSetting::Hills) return cadence * 0.68 / 60.0;
    return std::cbrt(power_w / (setting == SampleSetting::Ergometer ? 2.8 : 0.42));
}

double rounded(double value, double parts) {
    return std::round(value * parts) / parts;
}

/// What moves along with the rows.
struct Going {
    double power_w = 0.0, distance_m = 0.0, altitude_m = 212.0;
};

}  // namespace

void addSampleMeasures(recording::Recording& recording, SampleSetting setting, const PairPlan& plan,
                       double offset_s) {
    const auto* cadence = recording.channel(ChannelKind::Cadence);
    if (setting == SampleSetting::Floor || !cadence) return;
    recording::Channel power{ChannelKind::Power, cadence->times, {}},
        speed{ChannelKind::Speed, cadence->times, {}}, distance{ChannelKind::Distance, cadence->times, {}},
        altitude{ChannelKind::Altitude, cadence->times, {}};
    RandomStream random{plan.seed, "measures"};
    ColouredNoise push{4.0, 1.0, random};
    Going going;
    double before_s = 0.0;
    for (std::size_t i = 0; i < cadence->times.size(); ++i) {
        const auto time_us = cadence->times[i].time_since_epoch().count();
        const double time_s = static_cast<double>(time_us - plan.start_us) * 1e-6 + offset_s;
        const double step_s = i == 0 ? 0.0 : time_s - before_s;
        before_s = time_s;
        const auto& phase = phaseAt(plan.activity.phases, time_s);
        const double steps = cadence->values[i] * (plan.storesStrides ? 2.0 : 1.0);
        going.power_w += (powerOf(phase, steps) - going.power_w) * std::min(step_s / 4.0, 1.0);
        const double power_w = std::max(going.power_w * (1.0 + 0.05 * push.next()), 0.0);
        const double speed_m_per_s = speedOf(setting, going.power_w, steps);
        going.distance_m += speed_m_per_s * step_s;
        if (steps > 20.0) going.altitude_m += climbOf(phase, setting) * step_s;
        power.values.push_back(rounded(power_w, 1));
        speed.values.push_back(rounded(speed_m_per_s, 1000));
        distance.values.push_back(rounded(going.distance_m, 100));
        altitude.values.push_back(rounded(going.altitude_m, 5));
    }
    if (setting != SampleSetting::Hills) recording.channels.push_back(std::move(power));
    recording.channels.push_back(std::move(speed));
    recording.channels.push_back(std::move(distance));
    if (setting != SampleSetting::Ergometer) recording.channels.push_back(std::move(altitude));
}

void toBeatIntervals(recording::Recording& recording) {
    auto& rates = recording.channels.front();
    recording::Channel intervals{ChannelKind::BeatInterval, {}, {}};
    auto time = rates.times.front();
    for (std::size_t i = 1; i < rates.times.size(); ++i) {
        const auto interval_us = (rates.times[i] - rates.times[i - 1]).count();
        const auto interval_ms = (interval_us + 500) / 1000;
        time += Micros{interval_ms * 1000};
        intervals.times.push_back(time);
        intervals.values.push_back(static_cast<double>(interval_ms));
    }
    rates.times = intervals.times;
    rates.values.clear();
    for (const double interval_ms : intervals.values)
        rates.values.push_back(60000.0 / interval_ms);
    recording.rows = rates.values.size();
    recording.channels.push_back(std::move(intervals));
}

}  // namespace beatwitness::tests
