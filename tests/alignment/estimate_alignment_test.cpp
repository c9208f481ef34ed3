// Closed-form cases: the analytic ones of ../shared/oracles.json (written out here, they are formulas),
// properties.

#include "core/alignment/estimate_alignment.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/support/small_traces.h"

using namespace beatwitness;
using tests::Sample;

namespace {

double heart(double t_s) {
    return 90 + 50 / (1 + std::exp(-(t_s - 200) / 20)) - 30 / (1 + std::exp(-(t_s - 500) / 35));
}

/// `rate` at true seconds 0 to 799, stamped `clock(t)`.
template <class Rate, class Clock>
std::vector<Sample> recorded(Rate rate, Clock clock) {
    std::vector<Sample> samples;
    for (int t = 0; t < 800; ++t)
        samples.push_back({clock(t), rate(t)});
    return samples;
}

std::vector<Sample> reference() {
    return recorded(heart, [](double t) { return t; });
}

alignment::Alignment estimated(const std::vector<Sample>& referenceSamples,
                               const std::vector<Sample>& testSamples,
                               alignment::ClockKnowledge knowledge = alignment::ClockKnowledge::Dated) {
    const auto alignment =
        alignment::estimateAlignment(tests::traceOf<ReferenceClock>(referenceSamples),
                                     tests::traceOf<TestClock>(testSamples), knowledge, {}, {}, {});
    EXPECT_TRUE(alignment);
    return *alignment;
}

}  // namespace

TEST(EstimateAlignment, FindsAPureShift) {
    const auto test = recorded(heart, [](double t) { return t + 7.5; });

    const auto alignment = estimated(reference(), test);

    ASSERT_TRUE(alignment.applied()) << *alignment.refusedBecause;
    EXPECT_NEAR(alignment.correction->offset.value, -7.5, 0.1);
    EXPECT_EQ(alignment.correction->drift.value, 0.0);
}

TEST(EstimateAlignment, ConstantShiftLiesBetweenTheEndsOfADriftItCannotSee) {
    const auto test = recorded(heart, [](double t) { return 1.0002 * t + 3; });

    const auto alignment = estimated(reference(), test);

    ASSERT_TRUE(alignment.applied()) << *alignment.refusedBecause;
    EXPECT_GT(alignment.correction->offset.value, -3.16 - 0.05);
    EXPECT_LT(alignment.correction->offset.value, -3.0 + 0.05);
}

TEST(EstimateAlignment, CountsAConstantDelayIntoTheOffset) {
    double filtered = heart(-200);
    std::vector<double> delayed;
    for (int i = -2000; i < 8000; ++i) {  // one-pole low-pass, tau 6 s, in steps of 0.1 s
        filtered += (heart(i / 10.0) - filtered) * (1 - std::exp(-0.1 / 6));
        if (i >= 0 && i % 10 == 0) delayed.push_back(filtered);
    }
    const auto test = recorded([&](int t) { return delayed[static_cast<std::size_t>(t)]; },
                               [](double t) { return t + 7.5; });

    const auto alignment = estimated(reference(), test);

    ASSERT_TRUE(alignment.applied()) << *alignment.refusedBecause;
    EXPECT_NEAR(alignment.correction->offset.value, -13.5, 0.7);
}

TEST(EstimateAlignment, RefusesTwoFlatTraces) {
    const auto flat = [](double rate) {
        return recorded([=](double) { return rate; }, [](double t) { return t; });
    };

    const auto alignment = estimated(flat(62), flat(61));

    EXPECT_FALSE(alignment.applied());
    EXPECT_NE(alignment.refusedBecause->find("flat"), std::string::npos) << *alignment.refusedBecause;
}

TEST(EstimateAlignment, RefusesAStraightRamp) {
    const auto ramp = [](double t) { return 90 + 0.02 * t; };

    const auto alignment = estimated(recorded(ramp, [](double t) { return t; }),
                                     recorded(ramp, [](double t) { return t + 7.5; }));

    EXPECT_FALSE(alignment.applied());
    EXPECT_TRUE(alignment.refusedBecause);
}

TEST(EstimateAlignment, RefusesASteepRampAsWell) {
    const auto ramp = [](double t) { return 80 + 0.12 * t; };

    const auto alignment = estimated(recorded(ramp, [](double t) { return t; }),
                                     recorded(ramp, [](double t) { return t + 7.5; }));

    EXPECT_FALSE(alignment.applied());
}

TEST(EstimateAlignment, RefusesRecordingsThatDoNotOverlap) {
    const auto test = recorded(heart, [](double t) { return t + 1e6; });

    const auto alignment = estimated(reference(), test);

    EXPECT_FALSE(alignment.applied());
    EXPECT_NE(alignment.refusedBecause->find("overlap"), std::string::npos) << *alignment.refusedBecause;
}

TEST(EstimateAlignment, FindsWholeAndHalfHours) {
    for (const double hours : {-14.0, -5.5, -1.0, 0.5, 1.0, 2.0, 9.5}) {
        const auto test = recorded(heart, [=](double t) { return t + hours * 3600 + 2.25; });

        for (const auto knowledge :
             {alignment::ClockKnowledge::Dated, alignment::ClockKnowledge::ZoneUnknown}) {
            const auto alignment = estimated(reference(), test, knowledge);

            ASSERT_TRUE(alignment.applied()) << hours << ": " << *alignment.refusedBecause;
            EXPECT_NEAR(alignment.correction->offset.value, -hours * 3600 - 2.25, 0.1) << hours;
        }
    }
}

TEST(EstimateAlignment, FindsAnyOffsetWhereAFileHasNoDate) {
    std::vector<Sample> late;
    for (int t = 140; t < 800; ++t)
        late.push_back({static_cast<double>(t - 140), heart(t)});

    const auto alignment = estimated(reference(), late, alignment::ClockKnowledge::Undated);

    ASSERT_TRUE(alignment.applied()) << *alignment.refusedBecause;
    EXPECT_NEAR(alignment.correction->offset.value, 140, 0.1);
}

TEST(EstimateAlignment, ShiftingBothClocksChangesNothing) {
    const auto test =
        recorded([](double t) { return heart(t) + 2 * std::sin(t / 7); }, [](double t) { return t + 7.5; });
    auto laterReference = reference(), laterTest = test;
    for (auto& sample : laterReference)
        sample.time_s += 1.9e9;
    for (auto& sample : laterTest)
        sample.time_s += 1.9e9;

    const auto early = estimated(reference(), test), late = estimated(laterReference, laterTest);

    ASSERT_TRUE(early.applied() && late.applied());
    EXPECT_NEAR(early.correction->offset.value, late.correction->offset.value, 1e-9);
    EXPECT_NEAR(early.offsetInterval_s->lower, late.offsetInterval_s->lower, 1e-9);
}

TEST(EstimateAlignment, LossCurveIsLeastAtTheEstimate) {
    const auto test = recorded(heart, [](double t) { return t + 7.5; });

    const auto alignment = estimated(reference(), test);

    const auto least = std::ranges::min_element(alignment.lossCurve, {}, &alignment::LossPoint::loss_bpm);
    EXPECT_NEAR(least->offset.value, alignment.correction->offset.value, 0.51);
}

TEST(EstimateAlignment, SecondsLeftOutDoNotPull) {
    auto wrong = reference();
    for (int t = 300; t < 420; ++t)
        wrong[static_cast<std::size_t>(t)].rate_bpm = heart(t - 20) + 3;
    const auto test = recorded(heart, [](double t) { return t + 7.5; });
    const std::vector<trace::SessionSpan> leftOut{{sessionTime(300), sessionTime(419)}};

    const auto alignment =
        alignment::estimateAlignment(tests::traceOf<ReferenceClock>(wrong), tests::traceOf<TestClock>(test),
                                     alignment::ClockKnowledge::Dated, leftOut, {}, {});

    ASSERT_TRUE(alignment && alignment->applied());
    EXPECT_NEAR(alignment->correction->offset.value, -7.5, 0.1);
}

TEST(EstimateAlignment, StopsWhenAsked) {
    std::stop_source source;
    source.request_stop();

    const auto alignment = alignment::estimateAlignment(
        tests::traceOf<ReferenceClock>(reference()), tests::traceOf<TestClock>(reference()),
        alignment::ClockKnowledge::Dated, {}, {}, {}, {source.get_token(), {}});

    ASSERT_FALSE(alignment);
    EXPECT_EQ(alignment.fault().code, FaultCode::Cancelled);
}
