#include <gtest/gtest.h>

#include <algorithm>
#include <stop_token>
#include <string_view>

#include "core/recording/fit_checksum.h"
#include "core/recording/fit_recording.h"
#include "tests/support/fit_writer.h"

namespace beatwitness::recording {
namespace {

using namespace beatwitness::tests;

constexpr std::uint32_t start = 1'000'000'000;  // FIT time, a date in 2021

const std::vector<FitWriterField> timeAndRate{{253, 4, fit_base::uint32}, {3, 1, fit_base::uint8}};

RecordingTime utc(std::uint32_t fitTime) {
    return RecordingTime{Micros{(fitWriterEpoch_s + fitTime) * std::int64_t{1'000'000}}};
}

Recording read(const std::vector<std::byte>& bytes) {
    auto recording = readFit(bytes);
    EXPECT_TRUE(recording) << recording.fault().message;
    return recording ? std::move(*recording) : Recording{};
}

Recording read(const FitWriter& writer, const FitFrame& frame = {}) {
    return read(writer.bytes(frame));
}

std::vector<double> ratesOf(const Recording& recording) {
    const auto* channel = recording.channel(ChannelKind::HeartRate);
    return channel ? channel->values : std::vector<double>{};
}

std::vector<RecordingTime> timesOf(const Recording& recording) {
    const auto* channel = recording.channel(ChannelKind::HeartRate);
    return channel ? channel->times : std::vector<RecordingTime>{};
}

// Published check value of this checksum (CRC-16/ARC) over the digits 1 to 9.
TEST(FitChecksum, GivesThePublishedCheckValue) {
    const std::string_view digits = "123456789";

    const auto checksum = fitChecksum(std::as_bytes(std::span{digits}));

    EXPECT_EQ(checksum, 0xBB3D);
}

TEST(FitChecksum, IsTheSameInOnePieceAndInTwo) {
    std::vector<std::byte> bytes(1000);
    for (std::size_t i = 0; i < bytes.size(); ++i)
        bytes[i] = static_cast<std::byte>(i * i + 3 * i);
    const std::span whole{bytes};

    const auto first = fitChecksum(whole.first(333));

    EXPECT_EQ(fitChecksum(whole.subspan(333), first), fitChecksum(whole));
}

TEST(FitReader, ReadsThePlainestActivity) {
    const std::vector<FitRecord> records{{start, 120, 80}, {start + 1, 121, {}}};

    const auto recording = read(fitActivity(records, "Harbour strap"));

    EXPECT_EQ(recording.rows, 2U);
    EXPECT_EQ(recording.device, "Harbour strap");
    EXPECT_EQ(ratesOf(recording), (std::vector<double>{120, 121}));
    EXPECT_EQ(timesOf(recording), (std::vector{utc(start), utc(start + 1)}));
    EXPECT_EQ(recording.channel(ChannelKind::Cadence)->values, std::vector<double>{80});
    EXPECT_TRUE(recording.warnings.empty());
}

TEST(FitReader, ReadsHeadersOf12Bytes) {
    FitWriter writer;
    writer.define(0, 20, timeAndRate).data(0, {u32(start), u8(99)});

    const auto recording = read(writer, {.headerSize = 12});

    EXPECT_EQ(ratesOf(recording), std::vector<double>{99});
    EXPECT_TRUE(recording.warnings.empty());
}

TEST(FitReader, TakesAHeaderChecksumOf0ForNone) {
    FitWriter writer;
    writer.define(0, 20, timeAndRate).data(0, {u32(start), u8(99)});

    const auto recording = read(writer, {.headerChecksum = false});

    EXPECT_TRUE(recording.warnings.empty());
}

TEST(FitReader, ReadsBigEndianMessagesBesideLittleEndianOnes) {
    FitWriter writer;
    writer.define(0, 20, timeAndRate, true).define(1, 20, timeAndRate, false);
    writer.data(0, {u32(start), u8(99)}).data(1, {u32(start + 5), u8(98)});

    const auto recording = read(writer);

    EXPECT_EQ(timesOf(recording), (std::vector{utc(start), utc(start + 5)}));
}

TEST(FitReader, FollowsARedefinitionOfALocalMessage) {
    FitWriter writer;
    writer.define(0, 20, timeAndRate).data(0, {u32(start), u8(99)});
    writer.define(0, 20, {{3, 1, fit_base::uint8}, {7, 2, fit_base::uint16}, {253, 4, fit_base::uint32}});
    writer.data(0, {u8(101), u16(250), u32(start + 1)});

    const auto recording = read(writer);

    EXPECT_EQ(ratesOf(recording), (std::vector<double>{99, 101}));
    EXPECT_EQ(recording.channel(ChannelKind::Power)->values, std::vector<double>{250});
}

// By hand: low five bits 30 -> 31 -> 1 (rolled over, +2 s) -> 1 (the same second) -> 0 (rolled over again,
// +31 s).
TEST(FitReader, RollsCompressedTimesOverEvery32Seconds) {
    constexpr std::uint32_t base = (start & ~31U) + 30;
    FitWriter writer;
    writer.define(0, 20, timeAndRate).define(1, 20, {{3, 1, fit_base::uint8}});
    writer.data(0, {u32(base), u8(60)});
    for (const std::uint8_t offset : {31, 1, 1, 0})
        writer.compressed(1, offset, {u8(61)});

    const auto recording = read(writer);

    EXPECT_EQ(timesOf(recording),
              (std::vector{utc(base), utc(base + 1), utc(base + 3), utc(base + 3), utc(base + 34)}));
}

TEST(FitReader, LeavesOutCompressedRecordsBeforeAnyFullTime) {
    FitWriter writer;
    writer.define(1, 20, {{3, 1, fit_base::uint8}}).compressed(1, 4, {u8(61)});
    writer.define(0, 20, timeAndRate).data(0, {u32(start), u8(60)});

    const auto recording = read(writer);

    EXPECT_EQ(recording.rows, 1U);
    ASSERT_EQ(recording.warnings.size(), 1U);
    EXPECT_EQ(recording.warnings[0], "1 record without a time left out.");
}

TEST(FitReader, NeverTakesADeveloperFieldForTheNativeOne) {
    FitWriter writer;
    writer.define(0, 20, timeAndRate, false, {{3, 1, 0}, {9, 3, 0}});
    writer.data(0, {u32(start), u8(99), u8(180), fitText("abc", 3)});
    writer.data(0, {u32(start + 1), u8(0xFF), u8(181), fitText("abc", 3)});

    const auto recording = read(writer);

    EXPECT_EQ(recording.rows, 2U);
    EXPECT_EQ(ratesOf(recording), std::vector<double>{99});
}

TEST(FitReader, TakesTheFirstElementOfAnArrayOfRates) {
    FitWriter writer;
    writer.define(0, 20, {{253, 4, fit_base::uint32}, {3, 2, fit_base::uint8}, {7, 2, fit_base::uint16}});
    writer.data(0, {u32(start), u8(99), u8(7), u16(300)});

    const auto recording = read(writer);

    EXPECT_EQ(ratesOf(recording), std::vector<double>{99});
    EXPECT_EQ(recording.channel(ChannelKind::Power)->values, std::vector<double>{300});
}

TEST(FitReader, StepsOverFieldsOfUnfitSizeAndUnknownBaseType) {
    FitWriter writer;
    writer.define(
        0, 20, {{7, 3, fit_base::uint16}, {4, 1, 0x1E}, {253, 4, fit_base::uint32}, {3, 1, fit_base::uint8}});
    writer.data(0, {fitText("xyz", 3), u8(77), u32(start), u8(99)});

    const auto recording = read(writer);

    EXPECT_EQ(ratesOf(recording), std::vector<double>{99});
    EXPECT_EQ(recording.channels.size(), 1U);
}

TEST(FitReader, CutsATextWithoutClosingZeroAtTheEndOfItsField) {
    FitWriter writer;
    writer.define(0, 0, {{8, 4, fit_base::string}, {0, 1, fit_base::enumeration}});
    writer.data(0, {fitText("band", 4), u8(4)});

    const auto recording = read(writer);

    EXPECT_EQ(recording.device, "band");
}

TEST(FitReader, NamesADeviceWithoutProductNameByItsNumbers) {
    FitWriter writer;
    writer.define(0, 0, {{1, 2, fit_base::uint16}, {2, 2, fit_base::uint16}}).data(0, {u16(12), u16(345)});

    const auto recording = read(writer);

    EXPECT_EQ(recording.device, "manufacturer 12, product 345");
}

TEST(FitReader, TakesTheNameOfTheRecordingDeviceNotOfASensor) {
    FitWriter writer;
    writer.define(0, 23, {{0, 1, fit_base::uint8}, {27, 6, fit_base::string}});
    writer.data(0, {u8(3), fitText("pod", 6)}).data(0, {u8(0), fitText("watch", 6)});

    const auto recording = read(writer);

    EXPECT_EQ(recording.device, "watch");
}

// Scales of the open profile: speed 1/1000 m/s, altitude 1/5 m + 500 m, distance 1/100 m, fractional cadence
// 1/128.
TEST(FitReader, ScalesEveryChannelToItsUnit) {
    FitWriter writer;
    writer.define(0, 20,
                  {{253, 4, fit_base::uint32},
                   {6, 2, fit_base::uint16},
                   {2, 2, fit_base::uint16},
                   {5, 4, fit_base::uint32},
                   {4, 1, fit_base::uint8},
                   {53, 1, fit_base::uint8}});
    writer.data(0, {u32(start), u16(3500), u16(2600), u32(12345), u8(80), u8(64)});

    const auto recording = read(writer);

    EXPECT_DOUBLE_EQ(recording.channel(ChannelKind::Speed)->values.at(0), 3.5);
    EXPECT_DOUBLE_EQ(recording.channel(ChannelKind::Altitude)->values.at(0), 20.0);
    EXPECT_DOUBLE_EQ(recording.channel(ChannelKind::Distance)->values.at(0), 123.45);
    EXPECT_DOUBLE_EQ(recording.channel(ChannelKind::Cadence)->values.at(0), 80.5);
}

TEST(FitReader, PrefersTheEnhancedFieldWhereItHoldsAValue) {
    FitWriter writer;
    writer.define(0, 20, {{253, 4, fit_base::uint32}, {6, 2, fit_base::uint16}, {73, 4, fit_base::uint32}});
    writer.data(0, {u32(start), u16(1000), u32(70000)}).data(0, {u32(start + 1), u16(2000), u32(0xFFFFFFFF)});

    const auto recording = read(writer);

    EXPECT_EQ(recording.channel(ChannelKind::Speed)->values, (std::vector<double>{70, 2}));
}

TEST(FitReader, CountsRatesOf0And255AsRowsWithoutValue) {
    const std::vector<FitRecord> records{{start, 0, {}}, {start + 1, 255, {}}, {start + 2, 20, {}}};

    const auto recording = read(fitActivity(records, "band"));

    EXPECT_EQ(recording.rows, 3U);
    EXPECT_EQ(ratesOf(recording), std::vector<double>{20});
}

TEST(FitReader, GivesEachChainedPartItsOwnDefinitions) {
    FitWriter first, second;
    first.define(0, 20, timeAndRate).data(0, {u32(start), u8(99)});
    second.define(0, 20, {{3, 1, fit_base::uint8}, {253, 4, fit_base::uint32}})
        .data(0, {u8(98), u32(start + 9)});
    auto bytes = first.bytes();
    const auto more = second.bytes();
    bytes.insert(bytes.end(), more.begin(), more.end());

    const auto recording = read(bytes);

    EXPECT_EQ(timesOf(recording), (std::vector{utc(start), utc(start + 9)}));
    EXPECT_TRUE(recording.warnings.empty());
}

TEST(FitReader, ForgetsDefinitionsAtTheEndOfAPart) {
    FitWriter first, second;
    first.define(0, 20, timeAndRate).data(0, {u32(start), u8(99)});
    second.data(0, {u32(start + 1), u8(98)});
    auto bytes = first.bytes();
    const std::size_t secondAt = bytes.size();
    const auto more = second.bytes();
    bytes.insert(bytes.end(), more.begin(), more.end());

    const auto recording = read(bytes);

    EXPECT_EQ(ratesOf(recording), std::vector<double>{99});
    ASSERT_EQ(recording.warnings.size(), 1U);
    EXPECT_EQ(recording.warnings[0], "Byte " + std::to_string(secondAt + 14) +
                                         ": expected a definition of local message 0 before its data.");
}

TEST(FitReader, EndsALapAtItsTimestamp) {
    FitWriter writer;
    writer.define(0, 19, {{253, 4, fit_base::uint32}, {2, 4, fit_base::uint32}, {7, 4, fit_base::uint32}});
    writer.data(0, {u32(start + 60), u32(start), u32(55'000)})
        .data(0, {u32(0xFFFFFFFF), u32(start + 60), u32(9'000)});

    const auto recording = read(writer);

    ASSERT_EQ(recording.laps.size(), 2U);
    EXPECT_EQ(recording.laps[0].span.end, utc(start + 60));
    EXPECT_EQ(recording.laps[1].span.end, utc(start + 69));
    EXPECT_EQ(recording.laps[1].label, "lap 2");
}

TEST(FitReader, MakesAPauseOfAStopAndTheNextStartButNotOfTheLastStop) {
    FitWriter writer;
    writer.define(0, 21,
                  {{253, 4, fit_base::uint32}, {0, 1, fit_base::enumeration}, {1, 1, fit_base::enumeration}});
    const auto event = [&](std::uint32_t after, std::uint8_t kind, std::uint8_t type) {
        writer.data(0, {u32(start + after), u8(kind), u8(type)});
    };
    event(0, 0, 0), event(10, 0, 1), event(11, 0, 4), event(15, 38, 0), event(20, 0, 0), event(90, 0, 4);

    const auto recording = read(writer);

    ASSERT_EQ(recording.pauses.size(), 1U);
    EXPECT_EQ(recording.pauses[0].begin, utc(start + 10));
    EXPECT_EQ(recording.pauses[0].end, utc(start + 20));
}

TEST(FitReader, MakesNoPauseBetweenChainedParts) {
    const auto part = [](std::uint32_t time, std::uint8_t type) {
        FitWriter writer;
        writer.define(
            0, 21,
            {{253, 4, fit_base::uint32}, {0, 1, fit_base::enumeration}, {1, 1, fit_base::enumeration}});
        return writer.data(0, {u32(time), u8(0), u8(type)}).bytes();
    };
    auto bytes = part(start, 4);
    const auto more = part(start + 60, 0);
    bytes.insert(bytes.end(), more.begin(), more.end());

    const auto recording = read(bytes);

    EXPECT_TRUE(recording.pauses.empty());
}

TEST(FitReader, TakesTheFirstOfTwoFieldsOfOneNumber) {
    FitWriter writer;
    writer.define(0, 20, {{253, 4, fit_base::uint32}, {3, 1, fit_base::uint8}, {3, 1, fit_base::uint8}});
    writer.data(0, {u32(start), u8(99), u8(180)});

    const auto recording = read(writer);

    EXPECT_EQ(ratesOf(recording), std::vector<double>{99});
}

TEST(FitReader, CountsTimesOfAClockThatWasNeverSetFromItsOwnZero) {
    const std::vector<FitRecord> records{{5000, 99, {}}, {5001, 98, {}}};

    const auto recording = read(fitActivity(records, "band"));

    EXPECT_EQ(recording.clock, ClockBasis::None);
    EXPECT_EQ(timesOf(recording).at(0), RecordingTime{Micros{5'000'000'000}});
    ASSERT_EQ(recording.warnings.size(), 1U);
    EXPECT_TRUE(recording.warnings[0].starts_with("The clock of the device was never set"));
}

TEST(FitReader, KeepsTheMoreFrequentKindOfTimeWhereAFileMixesThem) {
    const std::vector<FitRecord> records{{5000, 99, {}}, {start, 98, {}}, {start + 1, 97, {}}};

    const auto recording = read(fitActivity(records, "band"));

    EXPECT_EQ(recording.clock, ClockBasis::Utc);
    EXPECT_EQ(recording.rows, 2U);
    EXPECT_EQ(ratesOf(recording), (std::vector<double>{98, 97}));
    EXPECT_EQ(recording.warnings.size(), 1U);
}

TEST(FitReader, StopsWhenAsked) {
    std::stop_source stop;
    stop.request_stop();
    const std::vector<FitRecord> records{{start, 99, {}}};

    const auto recording = readFit(fitActivity(records, "band"), RunControl{stop.get_token(), {}});

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::Cancelled);
}

TEST(FitReader, ReportsProgressThatNeverFallsAndEndsAt1) {
    std::vector<FitRecord> records(200'000);
    for (std::uint32_t i = 0; i < records.size(); ++i)
        records[i] = {start + i, 99, {}};
    std::vector<double> told;

    const auto recording =
        readFit(fitActivity(records, "band"), RunControl{{}, [&](double x) { told.push_back(x); }});

    ASSERT_TRUE(recording);
    EXPECT_GE(told.size(), 5U);
    EXPECT_TRUE(std::is_sorted(told.begin(), told.end()));
    EXPECT_EQ(told.back(), 1.0);
}

// Numbers of the open FIT profile: file_id 0 (serial_number 3), device_info 23 (device_index 0,
// software_version 5 in 1/100), session 18 (sport 5: 15 is rowing; sub_sport 6: 14 is indoor rowing).
TEST(FitReader, TellsUnitFirmwareAndSport) {
    FitWriter writer;
    writer.define(0, 0, {{0, 1, fit_base::enumeration}, {3, 4, fit_base::uint32}});
    writer.data(0, {u8(4), u32(4711)});
    writer.define(1, 23, {{0, 1, fit_base::uint8}, {5, 2, fit_base::uint16}});
    writer.data(1, {u8(0), u16(1240)});
    writer.define(2, 18,
                  {{253, 4, fit_base::uint32}, {5, 1, fit_base::enumeration}, {6, 1, fit_base::enumeration}});
    writer.data(2, {u32(start), u8(15), u8(14)});

    const auto recording = read(writer);

    EXPECT_EQ(recording.serial, "4711");
    EXPECT_EQ(recording.firmware, "12.40");
    EXPECT_EQ(recording.sport, "indoor rowing");
}

}  // namespace
}  // namespace beatwitness::recording
