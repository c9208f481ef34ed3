#include "core/report/comparison_summary.h"

#include <gtest/gtest.h>

using namespace beatwitness;
using evaluation::DeviceComparison;
using evaluation::MetricDifference;

namespace {

DeviceComparison comparison(double difference, std::optional<agreement::Interval> interval) {
    DeviceComparison made;
    made.a = "band";
    made.b = "watch";
    made.activity = "row";
    made.sessions = 4;
    made.paired = true;
    MetricDifference mae;
    mae.key = "mae_bpm";
    mae.difference = difference;
    mae.ci95 = interval;
    mae.method = "one session: no interval";
    made.metrics = {mae};
    return made;
}

std::string words(const DeviceComparison& one) {
    std::string text;
    for (const auto& sentence : report::comparisonSummary(std::span{&one, 1}))
        text += sentence;
    return text;
}

}  // namespace

TEST(ComparisonSummary, TheOneThatErrsLessIsNamed) {
    EXPECT_EQ(words(comparison(1.8, agreement::Interval{0.5, 3.1})),
              "Watch errs 1.8 bpm less than band (0.5 to 3.1 less, 4 shared sessions).");
    EXPECT_EQ(words(comparison(-1.8, agreement::Interval{-3.1, -0.5})),
              "Band errs 1.8 bpm less than watch (0.5 to 3.1 less, 4 shared sessions).");
}

// Property: whatever the numbers, nobody is said to err less unless the interval leaves zero out.
TEST(ComparisonSummary, NobodyErrsLessWhereTheIntervalHoldsZero) {
    for (double difference = -4; difference <= 4; difference += 0.5)
        for (double half = 0.1; half <= 5; half += 0.7) {
            const bool holdsZero = difference - half <= 0 && difference + half >= 0;

            const auto text =
                words(comparison(difference, agreement::Interval{difference - half, difference + half}));

            EXPECT_EQ(text.find("less than") == std::string::npos, holdsZero) << text;
            EXPECT_EQ(text.find("no difference"), std::string::npos);
        }
}

TEST(ComparisonSummary, WithoutAnIntervalNothingIsClaimed) {
    EXPECT_NE(words(comparison(1.8, std::nullopt)).find("says nothing of the next session"),
              std::string::npos);
}

TEST(ComparisonSummary, DifferentSessionsAreSaidToBe) {
    auto unpaired = comparison(1.8, agreement::Interval{0.5, 3.1});
    unpaired.paired = false;

    EXPECT_NE(words(unpaired).find("different sessions"), std::string::npos);
}

TEST(ComparisonSummary, ARowHasACellForEveryColumn) {
    const auto row = report::comparedRow(comparison(1.8, agreement::Interval{0.5, 3.1}), "mae_bpm");

    EXPECT_EQ(row.size(), report::comparedColumns().size());
}
