#include <gtest/gtest.h>

#include "app/document/session_plan.h"

namespace beatwitness::app {
namespace {

SharedFile ramp(const std::string& name, int start_s) {
    recording::RecordingFile file;
    file.file = name;
    recording::Channel channel;
    for (int i = 0; i < 100; ++i) {
        channel.times.emplace_back(std::chrono::seconds{start_s + i});
        channel.values.push_back(80.0 + i);
    }
    file.recording.channels.push_back(channel);
    file.recording.rows = 100;
    return std::make_shared<const recording::RecordingFile>(file);
}

analysis::Request typed(double offset_s) {
    return {alignment::Method::Offset, Seconds{offset_s}, true};
}

// By hand: each test is the reference's ramp, started late by as much as its own offset takes away.
TEST(AnalysePlan, BringsEachTestsClockByItsOwnRequest) {
    const SessionPlan plan{
        ramp("strap", 0), {{ramp("band", 5), typed(-5)}, {ramp("watch", 20), typed(-20)}}, {}};

    const auto session = analysePlan(plan, {});

    ASSERT_TRUE(session);
    ASSERT_EQ(session->tests.size(), 2u);
    EXPECT_EQ(session->tests[0].aligned->agreement.mae->value, 0.0);
    EXPECT_EQ(session->tests[1].aligned->agreement.mae->value, 0.0);
    EXPECT_EQ(session->tests[1].asRecorded.agreement.bias->value, -20.0);
}

TEST(AnalysePlan, StopsWhenAskedTo) {
    std::stop_source stop;
    stop.request_stop();
    const SessionPlan plan{ramp("strap", 0), {{ramp("band", 5), typed(-5)}}, {}};

    const auto session = analysePlan(plan, RunControl{stop.get_token(), {}});

    ASSERT_FALSE(session);
    EXPECT_EQ(session.fault().code, FaultCode::Cancelled);
}

}  // namespace
}  // namespace beatwitness::app
