#include <utility>

#include "tests/support/sample_library_devices.h"
#include "tests/support/sample_library_writers.h"

/// The diary of Harbour Crew: who wore what when, and what went wrong.
namespace beatwitness::tests {

namespace {

/// The instant, in March 2031.
std::int64_t march(int day, int hour, int minute) {
    constexpr std::int64_t first_s = 1930089600;  // 2031-03-01T00:00:00Z
    return (first_s + (day - 1) * 86400LL + hour * 3600LL + minute * 60LL) * 1000000LL;
}

SampleSession fiveTimesFour() {
    auto made = session("5 × 4 min", "rowing ergometer", SampleSetting::Ergometer, march(3, 6, 42),
                        samplePlan().activity, {"ergometer-5x4-strap.fit", plainFit(), true});
    made.note = "First outing of band and watch.";
    made.plan = samplePlan();
    made.plan.faults.clear();
    made.plan.heartFrom_s = samplePlan().test.start_s;
    auto first = band(made, -9, 0, {"ergometer-5x4-band.csv", csv(CsvDialect::IsoUtc)}, samplePlan().faults);
    first.plan = samplePlan().test;
    first.seed = samplePlan().seed;
    made.devices = {
        std::move(first),
        watch(made, -6, -2.3, {"ergometer-5x4-watch.tcx.gz", gzipped("ergometer-5x4-watch.tcx", tcx())},
              {fault(FaultKind::Spike, within(made, "warm-up", 150, 45), 34),
               fault(FaultKind::Damped, during(made, "effort 1", 0, 20), 0.68),
               fault(FaultKind::Lag, within(made, "effort 5", 0, 95), 16)})};
    made.devices[1].plan.sampling = {.style = SamplingStyle::Irregular, .interval_s = 3};
    return made;
}

SampleSession northRidgeFirst() {
    auto made = session("north ridge", "hill walk", SampleSetting::Hills, march(4, 9, 10),
                        sample_bodies::northRidge(304),
                        {"hill-walk-1-strap.tcx.gz", gzipped("hill-walk-1-strap.tcx", tcx())});
    made.note = "Dry, calm, 9 °C.";
    made.devices = {
        band(made, 4, 8.2, {"hill-walk-1-band.csv", csv(CsvDialect::EpochSeconds)},
             {fault(FaultKind::Lag, within(made, "climb 1", 0, 190), 28),
              fault(FaultKind::Damped, during(made, "climb 2", 0, 30), 0.7),
              fault(FaultKind::Dropout, within(made, "descent", 300, 24))}),
        watch(made, -10, -1.6, {"hill-walk-1-watch.gpx.gz", gzipped("hill-walk-1-watch.gpx", gpx()), true},
              {fault(FaultKind::CadenceLock, within(made, "climb 2", 150, 110), 1.0)})};
    made.devices[1].plan.sampling = {.style = SamplingStyle::Irregular, .interval_s = 3};
    return made;
}

SampleSession sixRoundsFirst() {
    auto made = session("6 rounds", "kettlebell circuit", SampleSetting::Floor, march(5, 17, 30),
                        sample_bodies::kettlebells(305, 6), {"kettlebells-1-strap.txt", rr(RrLayout::Bare)});
    made.note = "16 kg, swings and cleans; wrists bend a lot.";
    takeBeats(made);
    made.devices = {band(made, -15, 7.6, {"kettlebells-1-band.csv", csv(CsvDialect::SemicolonDecimalComma)},
                         {fault(FaultKind::MissedRise, during(made, "round 2", 0, 25), 0.3),
                          fault(FaultKind::HalfRate, within(made, "round 3", 60, 100), 0.5),
                          fault(FaultKind::Lag, during(made, "round 4", 0, 70), 16),
                          fault(FaultKind::MissedRise, during(made, "round 5", 0, 25), 0.2)}),
                    watch(made, 6, -2.0, {"kettlebells-1-watch.fit", plainFit()},
                          {fault(FaultKind::Damped, during(made, "round 1", 0, 40), 0.55),
                           fault(FaultKind::Damped, during(made, "round 3", 0, 40), 0.5),
                           fault(FaultKind::Spike, within(made, "round 4", 150, 50), -42),
                           fault(FaultKind::Damped, during(made, "round 6", 0, 40), 0.5)})};
    made.devices[0].plan.sampling.rounding_bpm = 0.1;
    return made;
}

SampleSession steadyForty() {
    auto made = session("steady 40 min", "rowing ergometer", SampleSetting::Ergometer, march(7, 6, 30),
                        sample_bodies::ergometerSteady(307),
                        {"ergometer-steady-strap.fit", workoutFit(fitRowing), true});
    made.devices = {band(made, -8, 9.4, {"ergometer-steady-band.tsv", csv(CsvDialect::TabEpoch)},
                         {fault(FaultKind::Stuck, during(made, "drink", 12, 55))}),
                    watch(made, -4, -1.9, {"ergometer-steady-watch.json", json(JsonLayout::Objects)},
                          {fault(FaultKind::Spike, within(made, "steady 2", 400, 40), -30)})};
    made.devices[1].plan.sampling = {.style = SamplingStyle::OnChange, .interval_s = 5};
    return made;
}

SampleSession aroundTheReservoir() {
    auto made =
        session("reservoir", "hill walk", SampleSetting::Hills, march(9, 10, 5),
                sample_bodies::reservoir(309), {"hill-walk-2-strap.fit", workoutFit(fitHiking), true});
    made.note = "The band's app writes local time and does not say so.";
    made.devices = {band(made, 10, -3600 + 7.9, {"hill-walk-2-band.csv", csv(CsvDialect::DateAndTime)},
                         {fault(FaultKind::Lag, within(made, "dam steps", 0, 160), 22),
                          fault(FaultKind::Adrift, within(made, "shore 1", 330, 150), 22),
                          fault(FaultKind::Damped, during(made, "spillway", 0, 40), 0.6)}),
                    watch(made, -6, -2.2, {"hill-walk-2-watch.fit", plainFit()},
                          {fault(FaultKind::Damped, during(made, "dam steps", 0, 30), 0.72),
                           fault(FaultKind::CadenceLock, within(made, "east bank", 200, 90), 1.0)})};
    return made;
}

SampleSession sixRoundsWithTwoStraps() {
    auto made = session("6 rounds, two straps", "kettlebell circuit", SampleSetting::Floor, march(10, 17, 45),
                        sample_bodies::kettlebells(310, 6), {"kettlebells-2-strap.fit", plainFit()});
    made.note = "The strap slipped in round 4; a second one was worn below it.";
    made.plan.faults = {strapFault(FaultKind::Dropout, within(made, "round 4", 55, 68))};
    made.devices = {band(made, -11, 8.8, {"kettlebells-2-band.csv", csv(CsvDialect::EpochMilliseconds)},
                         {fault(FaultKind::MissedRise, during(made, "round 1", 0, 25), 0.3),
                          fault(FaultKind::HalfRate, within(made, "round 3", 70, 80), 0.5),
                          fault(FaultKind::MissedRise, during(made, "round 5", 0, 25), 0.25),
                          fault(FaultKind::Lag, during(made, "round 6", 0, 60), 18)}),
                    watch(made, 3, -1.8, {"kettlebells-2-watch.fit", plainFit()},
                          {fault(FaultKind::Damped, during(made, "round 2", 0, 40), 0.5),
                           fault(FaultKind::Damped, during(made, "round 4", 0, 40), 0.55),
                           fault(FaultKind::DoubleRate, within(made, "cool-down", 130, 70), 2.0)})};
    SampleDevice second{"strap 2",
                        "Harbour strap 2",
                        {},
                        "chest",
                        {},
                        {},
                        {},
                        {},
                        true,
                        {"kettlebells-2-strap-2.csv", rr(RrLayout::TimesBeside)},
                        worn(made, -20, 0.6),
                        {},
                        3103};
    second.plan.sampling = {.style = SamplingStyle::Beats, .rounding_bpm = 0.0};
    second.plan.restNoise_bpm = second.plan.effortNoise_bpm = 0.2;
    made.devices.push_back(std::move(second));
    return made;
}

SampleSession eightTimesFiveHundred() {
    auto made = session("8 × 500 m", "rowing ergometer", SampleSetting::Ergometer, march(12, 6, 40),
                        sample_bodies::ergometerSprints(312), {"ergometer-8x500-strap.hrm", sections()});
    made.note = "The strap went on dry. Band firmware 2.5 from today.";
    made.plan.faults = {strapFault(FaultKind::Noise, {12, 165})};
    made.devices = {
        newBand(made, -7, 1.1, {"ergometer-8x500-band.jsonl", json(JsonLayout::Lines)},
                {fault(FaultKind::MissedRise, during(made, "500 m 3", 0, 15), 0.3),
                 fault(FaultKind::Lag, during(made, "500 m 5", 0, 75), 19),
                 fault(FaultKind::Lag, during(made, "500 m 7", 0, 75), 15),
                 fault(FaultKind::HalfRate, within(made, "500 m 8", 50, 42), 0.5)}),
        watch(made, -3, -2.5, {"ergometer-8x500-watch.tcx.gz", gzipped("ergometer-8x500-watch.tcx", tcx())},
              {fault(FaultKind::Damped, during(made, "500 m 2", 0, 25), 0.6),
               fault(FaultKind::Damped, during(made, "500 m 6", 0, 25), 0.55)})};
    made.devices[1].plan.sampling = {.style = SamplingStyle::Irregular, .interval_s = 2};
    return made;
}

SampleSession alongTheCoast() {
    auto made = session("coast road", "ride", SampleSetting::Bicycle, march(14, 16, 20),
                        sample_bodies::coastRide(314), {"ride-1-strap.fit", workoutFit(fitCycling), true});
    made.devices = {exportedBand(made, -13, 0.9,
                                 {fault(FaultKind::Lag, within(made, "headwind", 0, 150), 20),
                                  fault(FaultKind::Dropout, within(made, "headwind", 300, 55))}),
                    watch(made, -5, -1.7, {"ride-1-watch.fit", plainFit()},
                          {fault(FaultKind::CadenceLock, within(made, "headwind", 180, 95), 1.0),
                           fault(FaultKind::Damped, within(made, "coast road", 0, 240), 0.74)})};
    return made;
}

SampleSession polesAndWind() {
    auto made = session("poles, wind", "hill walk", SampleSetting::Hills, march(15, 9, 0),
                        sample_bodies::polesInWind(315),
                        {"hill-walk-3-strap.gpx.gz", gzipped("hill-walk-3-strap.gpx", gpx())});
    made.note = "Walking poles, gusts, 4 °C; the watch stores strides, not steps.";
    made.plan.storesStrides = true;
    made.devices = {exportedBand(made, -6, 1.3,
                                 {fault(FaultKind::MissedRise, during(made, "climb 1", 0, 25), 0.32),
                                  fault(FaultKind::Lag, within(made, "climb 2", 0, 170), 24),
                                  fault(FaultKind::Spike, within(made, "descent", 240, 50), 38)}),
                    watch(made, -9, -2.1, {"hill-walk-3-watch.fit", workoutFit(fitHiking), true},
                          {fault(FaultKind::CadenceLock, within(made, "climb 2", 240, 140), 2.0),
                           fault(FaultKind::Spike, within(made, "traverse", 150, 60), -31)})};
    return made;
}

SampleSession pyramid() {
    auto made = session("pyramid", "rowing ergometer", SampleSetting::Ergometer, march(16, 6, 50),
                        sample_bodies::ergometerPyramid(316),
                        {"ergometer-pyramid-strap.fit", workoutFit(fitRowing), true});
    SampleDevice nothing = watch(made, 0, 0, {}, {});
    nothing.failedBecause = "battery empty: the watch switched itself off in the warm-up and saved nothing";
    made.devices = {exportedBand(made, -10, 1.0,
                                 {fault(FaultKind::MissedRise, during(made, "step 3", 0, 12), 0.12),
                                  fault(FaultKind::Lag, during(made, "step 5", 0, 60), 21),
                                  fault(FaultKind::HalfRate, within(made, "step 4", 90, 75), 0.5)}),
                    std::move(nothing)};
    return made;
}

SampleSession eightRounds() {
    auto made = session("8 rounds", "kettlebell circuit", SampleSetting::Floor, march(17, 17, 30),
                        sample_bodies::kettlebells(317, 8), {"kettlebells-3-strap.hrm", intervalSections()});
    made.note = "12 kg.";
    takeBeats(made);
    made.devices = {exportedBand(made, -9, 1.2,
                                 {fault(FaultKind::MissedRise, during(made, "round 2", 0, 25), 0.15),
                                  fault(FaultKind::MissedRise, during(made, "round 4", 0, 25), 0.1),
                                  fault(FaultKind::Lag, during(made, "round 5", 0, 60), 17),
                                  fault(FaultKind::MissedRise, during(made, "round 7", 0, 25), 0.2)}),
                    watch(made, 5, -2.4, {"kettlebells-3-watch.csv", csv(CsvDialect::IsoZone)},
                          {fault(FaultKind::Damped, during(made, "round 1", 0, 40), 0.55),
                           fault(FaultKind::Damped, during(made, "round 3", 0, 40), 0.5),
                           fault(FaultKind::Damped, during(made, "round 6", 0, 40), 0.5),
                           fault(FaultKind::Damped, during(made, "round 8", 0, 40), 0.55)})};
    return made;
}

SampleSession roundTheHarbour() {
    auto made = session("harbour loop", "ride", SampleSetting::Bicycle, march(18, 17, 5),
                        sample_bodies::harbourLoop(318), {"ride-2-strap.fit", workoutFit(fitCycling), true});
    made.devices = {exportedBand(made, -8, 1.1,
                                 {fault(FaultKind::Lag, within(made, "sprint 2", 0, 110), 18),
                                  fault(FaultKind::MissedRise, during(made, "sprint 4", 0, 10), 0.3)}),
                    watch(made, -3, -2.3, {"ride-2-watch.json", json(JsonLayout::SideBySide)},
                          {fault(FaultKind::Damped, during(made, "sprint 1", 0, 15), 0.7),
                           fault(FaultKind::CadenceLock, within(made, "sprint 3", 30, 60), 1.0)})};
    return made;
}

SampleSession lyingStill() {
    auto made = session("lying still", "rest", SampleSetting::Floor, march(19, 21, 15),
                        sample_bodies::lyingStill(319), {"rest-1-strap.csv", rr(RrLayout::TimesBeside)});
    made.note = "Nothing moves: the clocks cannot be brought together here.";
    takeBeats(made);
    made.devices = {exportedBand(made, 3, 1.0, {}),
                    watch(made, -4, -2.0, {"rest-1-watch.json", json(JsonLayout::Pairs)}, {})};
    made.devices[1].plan.sampling = {.style = SamplingStyle::OnChange, .interval_s = 5};
    return made;
}

SampleSession northRidgeAgain() {
    auto made = session("north ridge again", "hill walk", SampleSetting::Hills, march(21, 9, 20),
                        sample_bodies::northRidge(321), {"hill-walk-4-strap.tcx", tcx()});
    made.note = "The watch came back from a trip an hour ahead. The band's file has no date.";
    made.plan.reference.sampling = {.style = SamplingStyle::Irregular, .interval_s = 4};
    made.devices = {
        newBand(made, 8, 1.4, {"hill-walk-4-band.csv", csv(CsvDialect::ElapsedSeconds), false, true},
                {fault(FaultKind::Lag, within(made, "climb 1", 0, 160), 18),
                 fault(FaultKind::Damped, within(made, "climb 2", 0, 420), 0.76)}),
        watch(made, -7, -3600 - 2.2, {"hill-walk-4-watch.fit", workoutFit(fitHiking), true},
              {fault(FaultKind::CadenceLock, within(made, "climb 1", 250, 70), 1.0)})};
    return made;
}

SampleSession fourClimbs() {
    auto made = session("four climbs", "ride", SampleSetting::Bicycle, march(23, 15, 40),
                        sample_bodies::hillRide(323), {"ride-3-strap.fit", workoutFit(fitCycling), true});
    made.devices = {
        newBand(made, -12, 0.8, {"ride-3-band.csv.gz", gzipped("ride-3-band.csv", csv(CsvDialect::IsoUtc))},
                {fault(FaultKind::Lag, within(made, "climb 1", 0, 160), 20),
                 fault(FaultKind::MissedRise, during(made, "climb 3", 0, 15), 0.25),
                 fault(FaultKind::Stuck, within(made, "descent 4", 5, 80))}),
        watch(made, -5, -1.9, {"ride-3-watch.zip", zipped("ride-3-watch.fit", plainFit())},
              {fault(FaultKind::CadenceLock, within(made, "climb 2", 100, 90), 1.0),
               fault(FaultKind::Spike, within(made, "descent 1", 60, 45), 36)})};
    return made;
}

}  // namespace

std::vector<SampleSession> sampleSessions() {
    return {fiveTimesFour(),
            northRidgeFirst(),
            sixRoundsFirst(),
            steadyForty(),
            aroundTheReservoir(),
            sixRoundsWithTwoStraps(),
            eightTimesFiveHundred(),
            alongTheCoast(),
            polesAndWind(),
            pyramid(),
            eightRounds(),
            roundTheHarbour(),
            lyingStill(),
            northRidgeAgain(),
            fourClimbs()};
}

}  // namespace beatwitness::tests
