#include "tests/support/recording_writer.h"

#include <gtest/gtest.h>

#include "core/recording/read_recording.h"

namespace beatwitness::tests {
namespace {

/// 2031-03-03T06:42:00Z and the second after, the first with cadence only.
recording::Recording twoRows() {
    const RecordingTime first{Micros{1930286520000000}}, second{Micros{1930286521250000}};
    recording::Recording recording;
    recording.channels = {{recording::ChannelKind::HeartRate, {second}, {120.5}},
                          {recording::ChannelKind::Cadence, {first, second}, {24, 25}}};
    recording.rows = 2;
    return recording;
}

TEST(WriteCsv, IsoUtcReadsAsExpectedByHand) {
    EXPECT_EQ(
        writeCsv(twoRows(), CsvDialect::IsoUtc),
        "timestamp,heart_rate,cadence\n2031-03-03T06:42:00.000Z,,24\n2031-03-03T06:42:01.250Z,120.5,25\n");
}

TEST(WriteCsv, IsoZoneIsTheSameInstantTwoHoursOn) {
    EXPECT_EQ(writeCsv(twoRows(), CsvDialect::IsoZone),
              "Time,Heart Rate [bpm],Cadence [rpm]\n2031-03-03T08:42:00.000+02:00,,24\n"
              "2031-03-03T08:42:01.250+02:00,120.5,25\n");
}

TEST(WriteCsv, SemicolonsGoWithDecimalCommas) {
    EXPECT_EQ(
        writeCsv(twoRows(), CsvDialect::SemicolonDecimalComma),
        "time;heart rate (bpm);cadence\n2031-03-03 06:42:00,000;;24\n2031-03-03 06:42:01,250;120,5;25\n");
}

TEST(WriteCsv, ElapsedSecondsCountFromTheFirstRow) {
    EXPECT_EQ(writeCsv(twoRows(), CsvDialect::ElapsedSeconds),
              "secs,hr,cadence\n0.000,,24\n1.250,120.5,25\n");
}

TEST(WriteCsv, EmptyRowsKeepTheirTime) {
    auto recording = twoRows();
    recording.channels.pop_back();
    const RecordingTime empty{Micros{1930286522000000}};

    const auto text = writeCsv(recording, CsvDialect::EpochSeconds, {&empty, 1});

    EXPECT_EQ(text, "timestamp,hr\n1930286521.250,120.5\n1930286522.000,\n");
}

TEST(WriteTcx, PointsStandInLapsAndLackWhatTheRowLacks) {
    auto recording = twoRows();
    recording.device = "strap";

    const auto text = writeTcx(recording);

    EXPECT_EQ(
        text,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<TrainingCenterDatabase><Activities><Activity "
        "Sport=\"Other\">\n"
        "<Lap StartTime=\"2031-03-03T06:42:00.000Z\"><Track>\n"
        "<Trackpoint><Time>2031-03-03T06:42:00.000Z</Time><Cadence>24</Cadence></Trackpoint>\n"
        "<Trackpoint><Time>2031-03-03T06:42:01.250Z</Time><HeartRateBpm><Value>121</Value></HeartRateBpm>"
        "<Cadence>25</Cadence></Trackpoint>\n</Track></Lap>\n"
        "<Creator><Name>strap</Name></Creator></Activity></Activities></TrainingCenterDatabase>\n");
}

TEST(WriteGpx, HeartRateStandsInTheExtensionOfItsPoint) {
    const auto text = writeGpx(twoRows());

    EXPECT_NE(
        text.find(
            "<time>2031-03-03T06:42:01.250Z</time><extensions><tp:TrackPointExtension><tp:hr>121</tp:hr>"
            "<tp:cad>25</tp:cad></tp:TrackPointExtension></extensions></trkpt>"),
        std::string::npos)
        << text;
}

// By hand: 2031-03-03T06:42:00Z is 1930286520 s from 1970, 1299220920 = 0x4D7089B8 from 1989-12-31. 14 bytes
// of header, file id 12 + 26, record definition 15, two records of 7, checksum 2. The second record: the
// second after, 121 bpm, 25.
TEST(WriteFit, RecordsHoldSecondsSince1989AndWholeNumbers) {
    const auto bytes = writeFit(twoRows());

    ASSERT_EQ(bytes.size(), 14u + 12 + 26 + 15 + 2 * 7 + 2);
    const std::vector<std::byte> last(bytes.end() - 9, bytes.end() - 2);
    const std::vector<std::byte> expected{std::byte{1},    std::byte{0xB9}, std::byte{0x89}, std::byte{0x70},
                                          std::byte{0x4D}, std::byte{121},  std::byte{25}};
    EXPECT_EQ(last, expected);
}

/// Beats 800 and 750 ms apart, the first at 2031-03-03T06:42:00Z.
recording::Recording threeBeats() {
    const RecordingTime start{Micros{1930286520000000}};
    recording::Recording recording;
    recording.device = "strap";
    recording.channels = {{recording::ChannelKind::BeatInterval,
                           {start + Micros{800000}, start + Micros{1550000}},
                           {800, 750}}};
    return recording;
}

TEST(WriteRr, BareIntervalsFollowTheInstantOfTheFirstBeat) {
    EXPECT_EQ(writeRr(threeBeats(), RrLayout::Bare),
              "# device: strap\n# start: 2031-03-03T06:42:00.000Z\n800\n750\n");
}

TEST(WriteRr, TimesBesideAreThoseOfClosingBeats) {
    EXPECT_EQ(writeRr(threeBeats(), RrLayout::TimesBeside),
              "time,rr\n2031-03-03T06:42:00.800Z,800\n2031-03-03T06:42:01.550Z,750\n");
}

TEST(WriteSections, IntervalsStandBelowTheirCode) {
    EXPECT_EQ(writeIntervalSections(threeBeats()),
              "[Params]\nVersion=106\nMonitor=strap\nSMode=00000000\nDate=20310303\nStartTime=06:42:00.0\n"
              "Length=00:00:01.5\nInterval=238\n\n[HRData]\n800\n750\n");
}

TEST(WriteSections, ASecondWithoutHeartRateIsZero) {
    const RecordingTime first{Micros{1930286520000000}};
    recording::Recording recording;
    recording.channels = {{recording::ChannelKind::HeartRate, {first, first + Micros{2000000}}, {120, 122}}};

    const auto text = writeSections(recording);

    EXPECT_TRUE(text.ends_with("Interval=1\n\n[HRData]\n120\n0\n122\n")) << text;
}

TEST(WriteJson, EachLayoutReadsAsExpectedByHand) {
    auto recording = twoRows();
    recording.device = "watch";

    EXPECT_EQ(writeJson(recording, JsonLayout::Objects),
              "{\"device\": \"watch\",\n\"samples\": [\n"
              "{\"time\": \"2031-03-03T06:42:00.000Z\", \"heart_rate\": null},\n"
              "{\"time\": \"2031-03-03T06:42:01.250Z\", \"heart_rate\": 120.5}]}\n");
    EXPECT_EQ(writeJson(recording, JsonLayout::Lines),
              "{\"timestamp_ms\": 1930286520000, \"hr\": null}\n"
              "{\"timestamp_ms\": 1930286521250, \"hr\": 120.5}\n");
    EXPECT_EQ(writeJson(recording, JsonLayout::Pairs),
              "{\"device\": \"watch\",\n\"heart_rate\": [\n[1930286520.000, null],\n[1930286521.250, "
              "120.5]]}\n");
    EXPECT_EQ(writeJson(recording, JsonLayout::SideBySide),
              "{\"device\": \"watch\",\n\"time\": [\"2031-03-03T06:42:00.000Z\",\n"
              "\"2031-03-03T06:42:01.250Z\"],\n\"hr\": [null,\n120.5],\n\"cadence\": [24,\n25]}\n");
}

// FIT profile: altitude is 5 * (m + 500), speed mm/s, power W, distance cm.
TEST(WriteWorkoutFit, MeasuresComeBackFromTheReaderInTheirUnits) {
    const RecordingTime first{Micros{1930286520000000}};
    using recording::ChannelKind;
    recording::Recording recording;
    recording.channels = {
        {ChannelKind::HeartRate, {first}, {120}}, {ChannelKind::Cadence, {first}, {24}},
        {ChannelKind::Power, {first}, {201}},     {ChannelKind::Speed, {first}, {4.125}},
        {ChannelKind::Altitude, {first}, {12.4}}, {ChannelKind::Distance, {first}, {99.25}}};

    const auto read = recording::readRecording(writeWorkoutFit(recording, {15, 14}));

    ASSERT_TRUE(read);
    for (const auto& channel : recording.channels) {
        const auto* found = read->channel(channel.kind);
        ASSERT_NE(found, nullptr) << recording::channelName(channel.kind);
        EXPECT_NEAR(found->values.front(), channel.values.front(), 1e-9)
            << recording::channelName(channel.kind);
    }
}

TEST(WriteGpx, PositionsLieAsFarApartAsTheDistances) {
    const RecordingTime first{Micros{1930286520000000}};
    recording::Recording recording;
    recording.channels = {{recording::ChannelKind::Distance, {first}, {1111.95}}};

    // A degree of latitude is 111.195 km.
    EXPECT_NE(writeGpx(recording).find("<trkpt lat=\"0.010000\" lon=\"0\">"), std::string::npos);
}

}  // namespace
}  // namespace beatwitness::tests
