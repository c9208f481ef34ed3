#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>
#include <span>
#include <string>

#include "core/recording/hrm_recording.h"
#include "core/recording/read_recording.h"
#include "core/recording/rr_recording.h"
#include "tests/support/reading.h"

namespace beatwitness::recording {
namespace {

using tests::bytesOf;
using tests::expectSound;
using tests::withBytesFlipped;

/// One small file of each layout.
std::vector<std::string> files() {
    std::string
        bare = "# start: 2031-03-02T09:00:00Z\r\n",
        timed = "time;rr\n", labelled = "0007\n", epoch = "1930208400.0, IBI\n",
        sections =
            "[Params]\r\nDate=20310302\r\nStartTime=09:00:00.0\r\nLength=00:00:24.0\r\nInterval=238\r\n"
            "SMode=111100000\r\n\r\n[IntTimes]\r\n00:00:10.0\t80\t70\r\n[HRData]\r\n";
    double time = 0.0;
    for (int i = 0; i < 30; ++i) {
        const int interval = 780 + 13 * (i % 5);
        time += interval / 1000.0;
        bare += std::to_string(interval) + "\r\n";
        timed += std::to_string(time) + ";" + std::to_string(interval) + "\n";
        labelled += std::to_string(time) + "    " + (i % 7 == 0 ? "X" : "N") + "\n";
        epoch += std::to_string(time) + "," + std::to_string(interval / 1000.0) + "\n";
        sections += std::to_string(interval) + "\r\n";
    }
    return {bare, timed, labelled, epoch, sections};
}

TEST(DamagedBeats, ReadOrFaultWhereverTheyAreCut) {
    for (const std::string& whole : files())
        for (std::size_t length = 0; length <= whole.size(); ++length)
            expectSound(readRecording(bytesOf(whole.substr(0, length))));
}

TEST(DamagedBeats, KeepWhatStoodBeforeTheCut) {
    for (const std::string& whole : files()) {
        const auto recording = readRecording(bytesOf(whole.substr(0, whole.size() - 40)));

        ASSERT_TRUE(recording) << recording.fault().message;
        EXPECT_GE(recording->channel(ChannelKind::BeatInterval)->values.size(), 20u);
    }
}

TEST(DamagedBeats, ReadOrFaultWithAnyBytesFlipped) {
    std::mt19937 random{20310302};
    const auto wholes = files();

    for (int attempt = 0; attempt < 5000; ++attempt) {
        const std::string damaged =
            withBytesFlipped(wholes[random() % wholes.size()], 1 + attempt % 8, random);
        expectSound(readRecording(bytesOf(damaged)));
        expectSound(readRr(bytesOf(damaged)));
        expectSound(readHrm(bytesOf(damaged)));
    }
}

TEST(DamagedBeats, SkipRowsThatAreNoIntervals) {
    const auto recording =
        readRecording(bytesOf("800\n750\nNA\n-5\n1e400\n99999999999\n0\nbroken\n760\n770\n780\n"));

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->channel(ChannelKind::BeatInterval)->values,
              (std::vector<double>{800, 750, 760, 770, 780}));
    EXPECT_EQ(recording->rows, 5u);
    EXPECT_FALSE(recording->warnings.empty());
}

TEST(DamagedBeats, SurviveAHugeLineAndZeroBytes) {
    std::string text = "800\n750\n760\n";
    text.append(3'000'000, '7');
    text += "\n";
    text.append(5000, '\0');
    text += "\n770\n";

    const auto recording = readRecording(bytesOf(text));

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->channel(ChannelKind::BeatInterval)->values.size(), 4u);
}

// Found by fuzzing: the 19th digit overflowed before it was counted. Shows under the undefined sanitizer.
TEST(DamagedBeats, SurviveNumbersOfMoreDigitsThanAnIntegerHolds) {
    const auto recording = readRecording(bytesOf("800\n750\n9999999999999999999\n760\n"));

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->channel(ChannelKind::BeatInterval)->values, (std::vector<double>{800, 750, 760}));
}

TEST(DamagedBeats, StopWhenTheyAreTold) {
    std::stop_source stop;
    stop.request_stop();
    const RunControl run{stop.get_token(), {}};

    const auto beats = readRr(bytesOf(files()[0]), {}, run);
    const auto sections = readHrm(bytesOf(files()[4]), {}, run);

    ASSERT_FALSE(beats);
    EXPECT_EQ(beats.fault().code, FaultCode::Cancelled);
    ASSERT_FALSE(sections);
    EXPECT_EQ(sections.fault().code, FaultCode::Cancelled);
}

}  // namespace
}  // namespace beatwitness::recording
