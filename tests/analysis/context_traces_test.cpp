#include "core/analysis/context_traces.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/generator.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;
using recording::ChannelKind;
using recording::ClockBasis;
using tests::fileOf;
using tests::recordingOf;

namespace {

void addCadence(recording::Recording& recording, const std::vector<tests::Sample>& samples) {
    recording::Channel channel;
    channel.kind = ChannelKind::Cadence;
    for (const auto& sample : samples) {
        channel.times.push_back(RecordingTime{Micros{std::llround(sample.time_s * 1e6)}});
        channel.values.push_back(sample.rate_bpm);
    }
    recording.rows = std::max(recording.rows, samples.size());
    recording.channels.push_back(channel);
}

recording::Recording cadenceOnly(const std::vector<tests::Sample>& samples) {
    recording::Recording recording;
    addCadence(recording, samples);
    return recording;
}

analysis::SessionAnalysis analysed(recording::Recording reference, recording::Recording test,
                                   std::vector<recording::Recording> contexts,
                                   const analysis::Request& request) {
    std::vector<recording::RecordingFile> files;
    for (auto& context : contexts)
        files.push_back(fileOf(std::move(context), "context.csv"));
    std::vector<recording::RecordingFile> tests;
    tests.push_back(fileOf(std::move(test)));
    auto session =
        analysis::analyseSession(fileOf(std::move(reference)), std::move(tests), std::move(files), request);
    EXPECT_TRUE(session);
    return std::move(*session);
}

const analysis::Request offsetByTwo{alignment::Method::Offset, Seconds{-2}, true};

}  // namespace

TEST(ContextTraces, ChannelsOfATestFollowItsClock) {
    auto test = recordingOf("100 100 100 100");
    addCadence(test, {{2, 80}, {3, 82}});

    const auto session = analysed(recordingOf("100 100 100"), test, {}, offsetByTwo);

    EXPECT_EQ(analysis::contextTraces(session, true).at(0).seconds, (std::vector<double>{0, 1}));
    EXPECT_EQ(analysis::contextTraces(session, false).at(0).seconds, (std::vector<double>{2, 3}));
}

TEST(ContextTraces, ChannelsOfTheReferenceStandOnItsClock) {
    auto reference = recordingOf("100 100 100", 50);
    addCadence(reference, {{51, 80}, {49, 70}, {70, 90}});

    const auto session = analysed(reference, recordingOf("100 100", 50), {}, offsetByTwo);

    const auto trace = analysis::contextTraces(session, true).at(0);
    EXPECT_EQ(trace.seconds, (std::vector<double>{-1, 1, 20}));
    EXPECT_EQ(trace.values, (std::vector<double>{70, 80, 90}));
    EXPECT_EQ(trace.joined, (std::vector<std::uint8_t>{0, 1, 0})) << "19 s apart is a gap";
}

TEST(ContextTraces, AContextWithoutADateStartsWithTheReference) {
    auto context = cadenceOnly({{7, 80}, {8, 81}});
    context.clock = ClockBasis::None;

    const auto session =
        analysed(recordingOf("100 100 100", 1.9e9), recordingOf("100 100", 1.9e9), {context}, offsetByTwo);

    EXPECT_EQ(analysis::contextTraces(session, true).at(0).seconds, (std::vector<double>{0, 1}));
    EXPECT_FALSE(session.contexts[0].alignedByHeartRate);
}

TEST(ContextTraces, AContextOfUnknownZoneMovesByHalfHoursToTheReference) {
    auto context = cadenceOnly({{1.9e9 + 5.5 * 3600, 80}, {1.9e9 + 5.5 * 3600 + 2, 81}});
    context.clock = ClockBasis::ZoneUnknown;

    const auto session =
        analysed(recordingOf("100 100 100", 1.9e9), recordingOf("100 100", 1.9e9), {context}, offsetByTwo);

    EXPECT_EQ(analysis::contextTraces(session, true).at(0).seconds, (std::vector<double>{0, 2}));
}

TEST(ContextTraces, AContextWithHeartRateIsAlignedByIt) {
    const auto pair = tests::generatePair(tests::randomPlan(200600));
    auto context = pair.test;
    addCadence(context, {{toSeconds(context.channels[0].times[100].time_since_epoch()).value, 80}});

    const auto session = analysed(pair.reference, pair.test, {context}, {});

    ASSERT_TRUE(session.tests[0].aligned);
    ASSERT_TRUE(session.contexts[0].alignedByHeartRate);
    EXPECT_EQ(session.contexts[0].correction.offset, session.tests[0].aligned->correction.offset);
}
