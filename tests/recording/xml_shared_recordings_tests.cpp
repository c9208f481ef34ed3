#include <fmt/format.h>
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "core/foundation/text.h"
#include "core/recording/read_recording.h"
#include "core/trace/trace.h"
#include "tests/support/shared_files.h"

// Every number here comes from shared/recordings/expected.json, which was made without any code of this
// project.
namespace beatwitness::recording {
namespace {

using nlohmann::json;

class SharedXml : public testing::TestWithParam<const char*> {
protected:
    void SetUp() override {
        const auto path = tests::sharedFile(std::string{"recordings/"} + GetParam());
        if (!path) GTEST_SKIP() << "the shared recordings are not here";
        std::ifstream in{*tests::sharedFile("recordings/expected.json")};
        facts_ = json::parse(in)["files"][GetParam()];
        auto read = readRecordingFile(*path);
        ASSERT_TRUE(read) << sentence(read.fault());
        file_ = std::move(*read);
        summary_ = trace::summarise(file_.recording);
    }

    json facts_;
    RecordingFile file_;
    trace::RecordingSummary summary_;
};

class SharedXmlRates : public SharedXml {};

TEST_P(SharedXml, GivesTheCountedPointsLapsAndCadences) {
    const Channel* cadence = file_.recording.channel(ChannelKind::Cadence);

    EXPECT_EQ(formatName(file_.recording.format), facts_["format"]);
    EXPECT_EQ(file_.sha256, facts_["sha256"]);
    EXPECT_EQ(file_.recording.rows, facts_["trackpoints"]);
    EXPECT_EQ(file_.recording.laps.size(), facts_["laps"]);
    EXPECT_EQ(cadence == nullptr ? 0 : cadence->values.size(), facts_["cadence_samples"]);
    EXPECT_TRUE(file_.recording.warnings.empty()) << file_.recording.warnings.front();
}

TEST_P(SharedXml, GivesTheCountedHeartRates) {
    EXPECT_EQ(summary_.samples - summary_.missing, facts_["hr_samples"]);
    EXPECT_EQ(summary_.missing, facts_["hr_missing"]);
}

TEST_P(SharedXmlRates, GivesTheirSpanAndValues) {
    EXPECT_EQ(isoInstant(summary_.span->begin.time_since_epoch()), facts_["first_hr"]);
    EXPECT_EQ(isoInstant(summary_.span->end.time_since_epoch()), facts_["last_hr"]);
    EXPECT_EQ(summary_.lowest->value, facts_["hr_min"]);
    EXPECT_EQ(summary_.highest->value, facts_["hr_max"]);
    EXPECT_NEAR(summary_.mean->value, facts_["hr_mean"], 5.1e-5);
}

INSTANTIATE_TEST_SUITE_P(Recordings, SharedXml,
                         testing::Values("tcx/treadmill.tcx", "tcx/pool-swim-without-hr.tcx",
                                         "tcx/fractional-seconds.tcx", "gpx/extension-short.gpx",
                                         "gpx/wrist-short.gpx"));
INSTANTIATE_TEST_SUITE_P(Recordings, SharedXmlRates,
                         testing::Values("tcx/treadmill.tcx", "tcx/fractional-seconds.tcx",
                                         "gpx/extension-short.gpx", "gpx/wrist-short.gpx"));

}  // namespace
}  // namespace beatwitness::recording
