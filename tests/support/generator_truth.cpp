#include "tests/support/generator_truth.h"

#include <cmath>

#include "tests/support/generator_estimand.h"

namespace beatwitness::tests {

namespace {

using Json = nlohmann::ordered_json;

}  // namespace

double thousandths(double value) {
    return std::round(value * 1000.0) / 1000.0;
}

Json truthPhasesJson(const Truth& truth) {
    Json phases = Json::array();
    for (const auto& phase : truth.phases)
        phases.push_back({{"name", phase.name}, {"start_s", phase.start_s}, {"end_s", phase.end_s}});
    return phases;
}

Json truthFaultsJson(const Truth& truth, std::optional<FaultOn> on) {
    Json faults = Json::array();
    for (const auto& fault : truth.faults) {
        if (on && fault.plan.on != *on) continue;
        faults.push_back({{"kind", contractKind(fault.plan.kind)},
                          {"on", fault.plan.on == FaultOn::Test ? "test" : "reference"},
                          {"start_s", thousandths(fault.start_s)},
                          {"end_s", thousandths(fault.end_s)},
                          {"magnitude", thousandths(fault.magnitude)},
                          {"ordered_start_s", thousandths(fault.plan.start_s)},
                          {"ordered_end_s", thousandths(fault.plan.end_s)}});
    }
    return faults;
}

Json truthAlignmentJson(const GeneratedPair& pair) {
    const auto& truth = pair.truth;
    Json alignment{{"clock_offset_s", thousandths(truth.clockOffset_s)},
                   {"clock_drift_ppm", thousandths(truth.clockDrift_ppm)},
                   {"constant_delay_s", thousandths(truth.constantDelay_s)},
                   {"offset_s", nullptr}};
    if (const auto estimand = estimandOf(pair); estimand && whyNotIdentifiable(pair).empty())
        alignment["offset_s"] = std::round(estimand->offset_s * 100.0) / 100.0;
    return alignment;
}

}  // namespace beatwitness::tests
