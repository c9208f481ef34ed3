#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
#include <numeric>

#include "core/foundation/text.h"
#include "core/recording/read_recording.h"
#include "core/trace/trace.h"
#include "tests/support/shared_files.h"

namespace beatwitness::recording {
namespace {

using nlohmann::json;

/// The facts of the shared recordings, worked out by others; see the page beside them.
json expectedFacts(const char* file) {
    std::ifstream stream{*tests::sharedFile("recordings/expected.json")};
    return json::parse(stream)["files"][file];
}

double sum(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0);
}

bool warns(const Recording& recording, std::string_view words) {
    return std::ranges::any_of(recording.warnings, [words](const std::string& warning) {
        return warning.find(words) != std::string::npos;
    });
}

class SharedIntervals : public testing::TestWithParam<const char*> {};

TEST_P(SharedIntervals, AreThoseThatOthersFound) {
    const auto path = tests::sharedFile(std::string{"recordings/"} + GetParam());
    if (!path) GTEST_SKIP();
    const json facts = expectedFacts(GetParam());

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read) << sentence(read.fault());
    const Channel* intervals = read->recording.channel(ChannelKind::BeatInterval);
    ASSERT_NE(intervals, nullptr);
    EXPECT_EQ(formatName(read->recording.format), facts["format"]);
    EXPECT_EQ(intervals->values.size(), facts["intervals"]);
    EXPECT_EQ(read->recording.rows, facts["intervals"]);
    EXPECT_DOUBLE_EQ(*std::ranges::min_element(intervals->values), facts["rr_ms_min"]);
    EXPECT_DOUBLE_EQ(*std::ranges::max_element(intervals->values), facts["rr_ms_max"]);
    EXPECT_NEAR(sum(intervals->values) / static_cast<double>(intervals->values.size()), facts["rr_ms_mean"],
                5.1e-4);
}

INSTANTIATE_TEST_SUITE_P(Recordings, SharedIntervals,
                         testing::Values("rr/wrist-intervals.csv", "rr/rest.txt", "rr/exercise.hrm",
                                         "rr/header-semicolon.csv", "rr/header-datetime.csv"));

TEST(SharedBeats, BareIntervalsAddUpToTheLastBeat) {
    const auto path = tests::sharedFile("recordings/rr/rest.txt");
    if (!path) GTEST_SKIP();

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read);
    EXPECT_EQ(read->recording.clock, ClockBasis::None);
    EXPECT_DOUBLE_EQ(
        toSeconds(read->recording.channel(ChannelKind::BeatInterval)->times.back().time_since_epoch()).value,
        expectedFacts("rr/rest.txt")["total_s"]);
}

TEST(SharedBeats, WristIntervalsKeepTheirOwnTimes) {
    const auto path = tests::sharedFile("recordings/rr/wrist-intervals.csv");
    if (!path) GTEST_SKIP();
    const json facts = expectedFacts("rr/wrist-intervals.csv");

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read);
    const auto& times = read->recording.channel(ChannelKind::BeatInterval)->times;
    EXPECT_EQ(isoInstant(times.front().time_since_epoch()), facts["first_beat"]);
    EXPECT_EQ(isoInstant(times.back().time_since_epoch()), facts["last_beat"]);
    EXPECT_EQ(read->recording.clock, ClockBasis::Utc);
}

TEST(SharedBeats, WristIntervalsAreInterruptedWhereOthersFoundIt) {
    const auto path = tests::sharedFile("recordings/rr/wrist-intervals.csv");
    if (!path) GTEST_SKIP();
    const json facts = expectedFacts("rr/wrist-intervals.csv");

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read);
    EXPECT_TRUE(warns(read->recording, "missing in " + facts["interrupted_runs"].dump() + " places"));
}

TEST(SharedBeats, BeatTimesCountEveryBeatAndSpoilWhatTouchesAnArtefact) {
    const auto path = tests::sharedFile("recordings/rr/ambulatory-beats.txt");
    if (!path) GTEST_SKIP();
    const json facts = expectedFacts("rr/ambulatory-beats.txt");

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read);
    const Recording& recording = read->recording;
    const auto summary = trace::summarise(recording);
    const auto artefacts = facts["labels"]["X"].get<std::size_t>();
    EXPECT_EQ(recording.rows, facts["beat_times"]);
    EXPECT_GE(summary.missing, artefacts);
    EXPECT_LE(summary.missing, 2 * artefacts);
    EXPECT_DOUBLE_EQ(
        toSeconds(recording.channel(ChannelKind::BeatInterval)->times.back().time_since_epoch()).value,
        facts["last_s"]);
}

// By hand: the header says 2008-02-08, 08:50:31.0 and the first interval is 1589 ms; the data add up to
// 2561.791 s.
TEST(SharedBeats, SectionsStartWhenTheirHeaderSaysSo) {
    const auto path = tests::sharedFile("recordings/rr/exercise.hrm");
    if (!path) GTEST_SKIP();

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read);
    const auto& times = read->recording.channel(ChannelKind::BeatInterval)->times;
    EXPECT_EQ(read->recording.clock, ClockBasis::ZoneUnknown);
    EXPECT_EQ(isoInstant(times.front().time_since_epoch()), "2008-02-08T08:50:32.589Z");
    EXPECT_EQ(isoInstant(times.back().time_since_epoch()), "2008-02-08T09:33:12.791Z");
}

TEST(SharedBeats, ExerciseOfASoundStrapHoldsFewArtefacts) {
    const auto path = tests::sharedFile("recordings/rr/exercise.hrm");
    if (!path) GTEST_SKIP();

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read);
    EXPECT_GT(*read->recording.artefactShare_pct, 0.0);
    EXPECT_LT(*read->recording.artefactShare_pct, 1.0);
}

// By hand from the header: laps end at 6:05.6, 36:09.9, 42:17.8 and 42:40.9.
TEST(SharedBeats, SectionsHoldTheLapsOfTheirHeader) {
    const auto path = tests::sharedFile("recordings/rr/exercise.hrm");
    if (!path) GTEST_SKIP();

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read);
    ASSERT_EQ(read->recording.laps.size(), 4u);
    EXPECT_EQ(isoInstant(read->recording.laps[1].span.begin.time_since_epoch()), "2008-02-08T08:56:36.600Z");
    EXPECT_EQ(isoInstant(read->recording.laps[3].span.end.time_since_epoch()), "2008-02-08T09:33:11.900Z");
}

TEST(SharedBeats, IndexColumnsOnlyCount) {
    const auto path = tests::sharedFile("recordings/rr/header-semicolon.csv");
    if (!path) GTEST_SKIP();

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read);
    // By hand: 790 + 815 + 800 + 795 ms.
    EXPECT_EQ(read->recording.channel(ChannelKind::HeartRate)->times.back().time_since_epoch(),
              Micros{3'200'000});
}

TEST(SharedBeats, DatesBesideIntervalsAreDayFirst) {
    const auto path = tests::sharedFile("recordings/rr/header-datetime.csv");
    if (!path) GTEST_SKIP();

    const auto read = readRecordingFile(*path);

    ASSERT_TRUE(read);
    const auto& times = read->recording.channel(ChannelKind::HeartRate)->times;
    EXPECT_EQ(isoInstant(times.front().time_since_epoch()), "2018-06-26T22:41:56.000Z");
    EXPECT_EQ(isoInstant(times.back().time_since_epoch()), "2018-06-26T22:41:59.000Z");
}

}  // namespace
}  // namespace beatwitness::recording
