#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>

#include "core/foundation/text.h"
#include "core/recording/read_recording.h"
#include "core/trace/trace.h"
#include "tests/support/shared_files.h"

namespace beatwitness::recording {
namespace {

using nlohmann::json;

/// The facts of the shared recordings, worked out by others; see the page beside them.
json expectedFacts() {
    std::ifstream file{*tests::sharedFile("recordings/expected.json")};
    return json::parse(file)["files"];
}

double largestGap_s(const trace::Trace<RecordingClock>& trace) {
    Micros largest{0};
    for (std::size_t i = 1; i < trace.times.size(); ++i)
        largest = std::max(largest, trace.times[i] - trace.times[i - 1]);
    return toSeconds(largest).value;
}

void expectTimes(const json& facts, const trace::RecordingSummary& summary, ClockBasis clock) {
    if (facts.contains("first_hr")) {
        EXPECT_EQ(clock, ClockBasis::Utc);
        EXPECT_EQ(isoInstant(summary.span->begin.time_since_epoch()), facts["first_hr"]);
        EXPECT_EQ(isoInstant(summary.span->end.time_since_epoch()), facts["last_hr"]);
    } else {
        EXPECT_EQ(clock, ClockBasis::None);
        EXPECT_EQ(toSeconds(summary.span->begin.time_since_epoch()).value, facts["first_elapsed_s"]);
        EXPECT_EQ(toSeconds(summary.span->end.time_since_epoch()).value, facts["last_elapsed_s"]);
    }
}

class SharedTable : public testing::TestWithParam<const char*> {};

TEST_P(SharedTable, HoldsTheHeartRateThatOthersFoundInIt) {
    const auto path = tests::sharedFile(std::string{"recordings/"} + GetParam());
    if (!path) GTEST_SKIP();
    const json facts = expectedFacts()[GetParam()];

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read) << sentence(read.fault());
    const auto summary = trace::summarise(read->recording);
    EXPECT_EQ(read->recording.format, Format::Csv);
    EXPECT_EQ(summary.samples - summary.missing, facts["hr_samples"]);
    EXPECT_EQ(summary.missing,
              facts["hr_missing"].get<std::size_t>() + facts["hr_out_of_range"].get<std::size_t>());
    EXPECT_EQ(read->recording.rows, facts.value("rows", read->recording.rows));
    expectTimes(facts, summary, read->recording.clock);
    EXPECT_EQ(summary.lowest->value, facts["hr_min"]);
    EXPECT_EQ(summary.highest->value, facts["hr_max"]);
    EXPECT_NEAR(summary.mean->value, facts["hr_mean"], 5.1e-5);
    EXPECT_DOUBLE_EQ(largestGap_s(trace::traceOf(read->recording)), facts["gap_max_s"]);
}

INSTANTIATE_TEST_SUITE_P(Recordings, SharedTable,
                         testing::Values("csv/compressed-timestamps-records.csv", "csv/cycling-reference.csv",
                                         "csv/cycling-watch.csv", "csv/run-reference.csv",
                                         "csv/run-watch.csv", "csv/strength-reference.csv",
                                         "csv/strength-watch.csv", "csv/start-and-rate.csv",
                                         "csv/long-format-semicolon.csv", "csv/power-meter-tab.csv"));

TEST(SharedTables, ReadACadenceFileWithoutHeartRate) {
    const auto path = tests::sharedFile("recordings/csv/run-cadence.csv");
    if (!path) GTEST_SKIP();
    const json facts = expectedFacts()["csv/run-cadence.csv"];

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read) << sentence(read.fault());
    EXPECT_EQ(read->recording.rows, facts["rows"]);
    EXPECT_EQ(read->recording.channel(ChannelKind::HeartRate), nullptr);
    const Channel* cadence = read->recording.channel(ChannelKind::Cadence);
    ASSERT_NE(cadence, nullptr);
    EXPECT_EQ(cadence->values.size(), facts["cadence_samples"]);
    EXPECT_EQ(*std::ranges::min_element(cadence->values), facts["cadence_min"]);
    EXPECT_EQ(*std::ranges::max_element(cadence->values), facts["cadence_max"]);
}

// Counted with awk: 5 values of the lap column in the cycling reference.
TEST(SharedTables, GiveTheLapsOfTheirLapColumn) {
    const auto path = tests::sharedFile("recordings/csv/cycling-reference.csv");
    if (!path) GTEST_SKIP();

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read) << sentence(read.fault());
    ASSERT_EQ(read->recording.laps.size(), 5u);
    EXPECT_EQ(read->recording.laps.front().label, "lap 1");
    EXPECT_EQ(read->recording.laps.back().label, "lap 5");
}

}  // namespace
}  // namespace beatwitness::recording
