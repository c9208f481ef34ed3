#include "tests/support/recording_writer.h"

#include <gtest/gtest.h>

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

}  // namespace
}  // namespace beatwitness::tests
