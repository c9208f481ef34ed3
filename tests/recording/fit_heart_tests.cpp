#include <gtest/gtest.h>

#include <array>

#include "core/recording/fit_recording.h"
#include "tests/support/fit_writer.h"

namespace beatwitness::recording {
namespace {

using namespace beatwitness::tests;

constexpr std::uint32_t start = 1'000'000'000;

RecordingTime after(double seconds) {
    return RecordingTime{Micros{(fitWriterEpoch_s + start) * std::int64_t{1'000'000}} + toMicros({seconds})};
}

/// Anchor (local 0): timestamp, fraction, counter, one rate. Packed (local 1): two rates, two events.
/// Record (local 2): timestamp, rate. Beats (local 3): three intervals.
FitWriter heartWriter() {
    FitWriter writer;
    writer.define(0, 132,
                  {{253, 4, fit_base::uint32},
                   {0, 2, fit_base::uint16},
                   {9, 4, fit_base::uint32},
                   {6, 1, fit_base::uint8}});
    writer.define(1, 132, {{6, 2, fit_base::uint8}, {10, 3, fit_base::byte}});
    writer.define(2, 20, {{253, 4, fit_base::uint32}, {3, 1, fit_base::uint8}});
    writer.define(3, 78, {{0, 6, fit_base::uint16}});
    return writer;
}

void anchor(FitWriter& writer, std::uint32_t second, std::uint16_t fraction, std::uint32_t counter,
            std::uint8_t rate) {
    writer.data(0, {u32(start + second), u16(fraction), u32(counter), u8(rate)});
}

void events(FitWriter& writer, std::array<std::uint32_t, 2> counters, std::array<std::uint8_t, 2> rates) {
    writer.data(1, {u8(rates[0]), u8(rates[1]), packed12(counters)});
}

void record(FitWriter& writer, std::uint32_t second, std::uint8_t rate) {
    writer.data(2, {u32(start + second), u8(rate)});
}

Recording read(const FitWriter& writer) {
    auto recording = readFit(writer.bytes());
    EXPECT_TRUE(recording) << recording.fault().message;
    return recording ? std::move(*recording) : Recording{};
}

const Channel& channelOf(const Recording& recording, ChannelKind kind) {
    static const Channel none;
    const auto* channel = recording.channel(kind);
    return channel ? *channel : none;
}

// By hand: the anchor stands at 0.5 s with counter 4000; 1024 steps are 1 s; 4000 + 1024 = 5024 has the low
// bits 928, so the packed events roll over at 4096.
TEST(FitHeartEvents, TimesPackedEventsFromTheAnchorAcrossTheRollOver) {
    auto writer = heartWriter();
    anchor(writer, 0, 16384, 4000, 70);
    events(writer, {5024, 6048}, {71, 72});
    events(writer, {7072, 8096 + 512}, {73, 74});

    const auto recording = read(writer);

    const auto& rates = channelOf(recording, ChannelKind::HeartRate);
    EXPECT_EQ(rates.values, (std::vector<double>{70, 71, 72, 73, 74}));
    EXPECT_EQ(rates.times, (std::vector{after(0.5), after(1.5), after(2.5), after(3.5), after(5.0)}));
    EXPECT_EQ(recording.rows, 5U);
}

TEST(FitHeartEvents, RepeatsThatFillUpTheLastMessageCountAsRowsAtItsTime) {
    auto writer = heartWriter();
    anchor(writer, 0, 0, 1000, 70);
    events(writer, {2024, 2024}, {71, 71});

    const auto recording = read(writer);

    EXPECT_EQ(channelOf(recording, ChannelKind::HeartRate).values, (std::vector<double>{70, 71, 71}));
    EXPECT_EQ(channelOf(recording, ChannelKind::HeartRate).times,
              (std::vector{after(0), after(1), after(1)}));
}

TEST(FitHeartEvents, TimesFullCountersFromTheAnchorToo) {
    auto writer = heartWriter();
    writer.define(4, 132, {{9, 4, fit_base::uint32}, {6, 1, fit_base::uint8}});
    anchor(writer, 0, 0, 0xFFFFFE00, 70);
    writer.data(4, {u32(0x00000200), u8(71)});  // 1024 steps on, past the end of 32 bits

    const auto recording = read(writer);

    EXPECT_EQ(channelOf(recording, ChannelKind::HeartRate).times, (std::vector{after(0), after(1)}));
}

TEST(FitHeartEvents, AreLeftOutWithAWarningBeforeAnyAnchor) {
    auto writer = heartWriter();
    events(writer, {1000, 2000}, {70, 71});

    const auto recording = read(writer);

    EXPECT_EQ(recording.rows, 0U);
    ASSERT_FALSE(recording.warnings.empty());
    EXPECT_TRUE(recording.warnings[0].starts_with("2 heart-rate events left out"));
}

TEST(FitHeartEvents, NeedAnAnchorOfTheirOwnInAChainedPart) {
    auto first = heartWriter(), second = heartWriter();
    anchor(first, 0, 0, 1000, 70);
    events(second, {2024, 3048}, {71, 72});
    auto bytes = first.bytes();
    const auto more = second.bytes();
    bytes.insert(bytes.end(), more.begin(), more.end());

    const auto recording = readFit(bytes);

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->rows, 1U);
}

TEST(FitHeartEvents, DoNotFillWhereValidRecordsStand10SecondsApart) {
    auto writer = heartWriter();
    record(writer, 0, 60), record(writer, 10, 60);
    anchor(writer, 5, 0, 0, 90);

    const auto recording = read(writer);

    EXPECT_EQ(recording.rows, 2U);
    EXPECT_EQ(channelOf(recording, ChannelKind::HeartRate).values, (std::vector<double>{60, 60}));
}

TEST(FitHeartEvents, FillWhereValidRecordsStandMoreThan10SecondsApart) {
    auto writer = heartWriter();
    record(writer, 0, 60), record(writer, 11, 60);
    anchor(writer, 5, 0, 0, 90);

    const auto recording = read(writer);

    EXPECT_EQ(recording.rows, 3U);
    EXPECT_EQ(channelOf(recording, ChannelKind::HeartRate).values, (std::vector<double>{60, 60, 90}));
}

TEST(FitHeartEvents, FillWhereRecordsHaveOnlyInvalidRates) {
    auto writer = heartWriter();
    for (std::uint32_t second = 1; second < 20; ++second)
        record(writer, second, second % 2 == 0 ? 0 : 251);
    record(writer, 0, 60), record(writer, 20, 60);
    anchor(writer, 10, 0, 0, 90);

    const auto recording = read(writer);

    EXPECT_EQ(recording.rows, 22U);
    EXPECT_EQ(channelOf(recording, ChannelKind::HeartRate).values.back(), 90);
}

TEST(FitHeartEvents, FillBeforeTheFirstAndAfterTheLastValidRecordButNotAtOne) {
    auto writer = heartWriter();
    record(writer, 10, 60);
    for (const std::uint32_t second : {9U, 10U, 11U})
        anchor(writer, second, 0, 0, 90);

    const auto recording = read(writer);

    EXPECT_EQ(channelOf(recording, ChannelKind::HeartRate).times,
              (std::vector{after(10), after(9), after(11)}));
}

TEST(FitHeartEvents, WithoutAValidRateFillNothing) {
    auto writer = heartWriter();
    anchor(writer, 0, 0, 0, 90), anchor(writer, 1, 0, 0, 255), anchor(writer, 2, 0, 0, 0);

    const auto recording = read(writer);

    EXPECT_EQ(recording.rows, 1U);
}

TEST(FitBeats, LieEndToEndFromTheLatestTimeBeforeThem) {
    auto writer = heartWriter();
    record(writer, 0, 60);
    writer.data(3, {u16(800), u16(900), u16(0xFFFF)});
    record(writer, 1, 60);
    writer.data(3, {u16(1000), u16(0xFFFF), u16(0xFFFF)});

    const auto recording = read(writer);

    const auto& beats = channelOf(recording, ChannelKind::BeatInterval);
    EXPECT_EQ(beats.values, (std::vector<double>{800, 900, 1000}));
    EXPECT_EQ(beats.times, (std::vector{after(0), after(0.9), after(1.9)}));
}

TEST(FitBeats, StartAnewAfterAStretchWithoutBeats) {
    auto writer = heartWriter();
    record(writer, 0, 60);
    writer.data(3, {u16(800), u16(900), u16(0xFFFF)});
    record(writer, 60, 60);
    writer.data(3, {u16(1000), u16(0xFFFF), u16(0xFFFF)});

    const auto recording = read(writer);

    EXPECT_EQ(channelOf(recording, ChannelKind::BeatInterval).times.back(), after(60));
}

TEST(FitBeats, BeforeAnyTimeEndAtTheFirstOne) {
    auto writer = heartWriter();
    writer.data(3, {u16(800), u16(900), u16(1000)});
    record(writer, 0, 60);

    const auto recording = read(writer);

    EXPECT_EQ(channelOf(recording, ChannelKind::BeatInterval).times,
              (std::vector{after(-1.9), after(-1), after(0)}));
}

TEST(FitBeats, NeverReplaceTheHeartRateOfRecords) {
    auto writer = heartWriter();
    record(writer, 0, 60);
    writer.data(3, {u16(500), u16(500), u16(500)});

    const auto recording = read(writer);

    EXPECT_EQ(recording.rows, 1U);
    EXPECT_EQ(channelOf(recording, ChannelKind::HeartRate).values, std::vector<double>{60});
}

}  // namespace
}  // namespace beatwitness::recording
