#include "tests/support/generator_sample.h"

#include <nlohmann/json.hpp>

#include "tests/support/generator_estimand.h"
#include "tests/support/generator_truth.h"
#include "tests/support/recording_writer.h"

namespace beatwitness::tests {

namespace {

using Json = nlohmann::ordered_json;

ActivityPlan fiveTimesFour() {
    ActivityPlan plan;
    plan.activity = Activity::RowingIntervals;
    plan.resting_bpm = 58;
    plan.peak_bpm = 180;
    plan.initial_bpm = 74;
    plan.kinetics = {27, 48, 0.1};
    plan.fluctuation = {0.35, 0.6, 0.0, 1.2};
    plan.seed = 2031;
    plan.phases = {
        {"warm-up", 0, 420, 104, 112, 19, false},      {"effort 1", 420, 660, 165, 169, 26, true},
        {"recovery", 660, 840, 122, 122, 17, false},   {"effort 2", 840, 1080, 170, 172, 26, true},
        {"recovery", 1080, 1260, 122, 122, 17, false}, {"effort 3", 1260, 1500, 168, 177, 27, true},
        {"recovery", 1500, 1680, 122, 122, 17, false}, {"effort 4", 1680, 1920, 170, 175, 26, true},
        {"recovery", 1920, 2100, 123, 123, 17, false}, {"effort 5", 2100, 2340, 172, 178, 28, true},
        {"cool-down", 2340, 2700, 92, 86, 16, false}};
    return plan;
}

template <class Bytes>
SampleFile sampleFile(std::string name, const Bytes& content) {
    const auto bytes = std::as_bytes(std::span{content.data(), content.size()});
    return {std::move(name), {bytes.begin(), bytes.end()}};
}

}  // namespace

PairPlan samplePlan() {
    PairPlan plan;
    plan.seed = 2031;
    plan.activity = fiveTimesFour();
    plan.reference.noise_bpm = 0.2;
    plan.test.sampling = {.phase_s = 0.4, .lossShare = 0.004};
    plan.test.smoothing = Smoothing::MovingAverage;
    plan.test.smoothing_s = 4;
    plan.test.delay_s = 1.5;
    plan.test.restNoise_bpm = 0.5;
    plan.test.effortNoise_bpm = 1.2;
    plan.test.start_s = -9;
    plan.test.end_s = 2707;
    plan.test.clockOffset_s = 6.9;
    plan.faults = {{FaultKind::MissedRise, FaultOn::Test, 840, 1080, 0.06},
                   {FaultKind::Lag, FaultOn::Test, 1259, 1385, 26},
                   {FaultKind::HalfRate, FaultOn::Test, 1730, 1850, 0.5},
                   {FaultKind::Dropout, FaultOn::Test, 2210, 2251, 0},
                   {FaultKind::Lag, FaultOn::Test, 2339, 2450, 12}};
    plan.lapEachPhase = true;
    return plan;
}

std::string truthJson(const GeneratedPair& pair, const std::string& referenceFile,
                      const std::string& testFile) {
    const Json truth{{"schema", "beatwitness.truth/1"},
                     {"reference", referenceFile},
                     {"test", testFile},
                     {"activity", activityName(pair.truth.activity)},
                     {"identifiable", whyNotIdentifiable(pair).empty()},
                     {"alignment", truthAlignmentJson(pair)},
                     {"phases", truthPhasesJson(pair.truth)},
                     {"faults", truthFaultsJson(pair.truth)}};
    return truth.dump(2) + "\n";
}

std::vector<SampleFile> sampleFiles() {
    const std::string strap = "ergometer-5x4-strap.fit", band = "ergometer-5x4-band.csv";
    const auto pair = generatePair(samplePlan());
    return {sampleFile(strap, writeFit(pair.reference, pair.emptyReferenceRows)),
            sampleFile(band, writeCsv(pair.test, CsvDialect::IsoUtc)),
            sampleFile("ergometer-5x4-truth.json", truthJson(pair, strap, band))};
}

}  // namespace beatwitness::tests
