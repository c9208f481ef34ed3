// Examples by rule on sessions whose errors are made by hand.

#include "core/report/examples.h"

#include <gtest/gtest.h>

#include "tests/evaluation/small_evidence.h"

using namespace beatwitness;
using namespace beatwitness::report;
using evaluation::Clock;
using evaluation::SessionEvidence;

namespace {

/// A session of `seconds` in which the device is off by `error_bpm` throughout: its MAE.
SessionEvidence offBy(std::int64_t session, double error_bpm, std::size_t seconds = 400) {
    return tests::evidence(session, "band", "row", std::vector<double>(seconds, 120.0),
                           std::vector<double>(seconds, 120.0 + error_bpm));
}

std::vector<std::int64_t> sessionsOf(const std::vector<Example>& examples) {
    std::vector<std::int64_t> sessions;
    for (const auto& example : examples)
        sessions.push_back(example.session);
    return sessions;
}

/// Marks seconds `from` to `to` as flagged under both clocks, and sets the error there.
void flag(SessionEvidence& one, flags::FlagKind kind, std::size_t from, std::size_t to, double error_bpm) {
    auto seconds = *one.aligned.seconds;
    for (std::size_t i = from; i <= to; ++i) {
        seconds.flag[i] = static_cast<std::uint8_t>(1 + static_cast<int>(kind));
        seconds.test[i] = seconds.reference[i] + error_bpm;
    }
    one.aligned = one.asRecorded = evaluation::clockEvidence(std::move(seconds));
}

}  // namespace

// MAE 9, 2, 4, 7, 3: the median is 4.
TEST(SessionExamples, AreTheMedianTheLeastAndTheLargestError) {
    const std::vector all{offBy(1, 9), offBy(2, -2), offBy(3, 4), offBy(4, 7), offBy(5, -3)};

    const auto examples = sessionExamples(all, "band", agreement::Metric::Mae, Clock::Aligned);

    EXPECT_EQ(sessionsOf(examples), (std::vector<std::int64_t>{3, 2, 1}));
}

TEST(SessionExamples, OfAShareAreBestWhereItIsLargest) {
    const std::vector all{offBy(1, 9), offBy(2, 1), offBy(3, 1)};

    const auto examples = sessionExamples(all, "band", agreement::Metric::Within5Bpm, Clock::Aligned);

    EXPECT_EQ(examples.back().session, 1);
}

TEST(SessionExamples, JudgeABiasByItsSize) {
    const std::vector all{offBy(1, -9), offBy(2, 1), offBy(3, 4)};

    const auto examples = sessionExamples(all, "band", agreement::Metric::Bias, Clock::Aligned);

    EXPECT_EQ(examples.back().session, 1);
}

TEST(SessionExamples, PassOverSessionsOfLessThanFiveMinutes) {
    const std::vector all{offBy(1, 50, 299), offBy(2, 1), offBy(3, 2), offBy(4, 3)};

    const auto examples = sessionExamples(all, "band", agreement::Metric::Mae, Clock::Aligned);

    EXPECT_EQ(examples.back().session, 4);
}

TEST(SessionExamples, SayHowManyTheRuleChoseFrom) {
    const std::vector all{offBy(1, 9), offBy(2, 2), offBy(3, 4)};

    const auto examples = sessionExamples(all, "band", agreement::Metric::Mae, Clock::Aligned);

    EXPECT_EQ(examples.back().because,
              "chosen by rule, of 3 sessions of the band the one with the largest MAE: 9.0 bpm");
}

// 10 s of 20 bpm weigh 200, 30 s of 5 bpm weigh 150.
TEST(FlagExamples, WeighTheSumOfErrors) {
    std::vector all{offBy(1, 0), offBy(2, 0)};
    flag(all[0], flags::FlagKind::Lag, 100, 109, -20);
    flag(all[1], flags::FlagKind::Lag, 50, 79, 5);

    const auto examples = flagExamples(all, "band", flags::FlagKind::Lag, Clock::Aligned);

    ASSERT_EQ(examples.size(), 2u);
    EXPECT_EQ(examples.front().session, 1);
    EXPECT_DOUBLE_EQ(examples.front().value, 200.0);
}

TEST(FlagExamples, TellWhenTheStretchBeginsAndEnds) {
    std::vector all{offBy(1, 0)};
    flag(all[0], flags::FlagKind::HalfRate, 100, 160, -60);

    const auto examples = flagExamples(all, "band", flags::FlagKind::HalfRate, Clock::Aligned);

    ASSERT_EQ(examples.size(), 1u);
    EXPECT_DOUBLE_EQ(examples.front().begin_s, 100.0);
    EXPECT_DOUBLE_EQ(examples.front().end_s, 160.0);
}

TEST(FlagExamples, JoinWhatIsFiveSecondsApart) {
    std::vector all{offBy(1, 0)};
    flag(all[0], flags::FlagKind::Spike, 100, 103, 40);
    flag(all[0], flags::FlagKind::Spike, 108, 110, 40);
    flag(all[0], flags::FlagKind::Spike, 116, 118, 40);

    const auto examples = flagExamples(all, "band", flags::FlagKind::Spike, Clock::Aligned);

    EXPECT_EQ(examples.size(), 2u);
}

TEST(ExamplesCsv, HasARowAnExample) {
    const std::vector all{offBy(1, 9), offBy(2, 2), offBy(3, 4)};

    const auto csv = examplesCsv(examplesOf(all, {"band"}, Clock::Aligned));

    EXPECT_EQ(std::ranges::count(csv, '\n'), 4);
}
