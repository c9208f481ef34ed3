#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string_view>

#include "core/recording/file_bytes.h"
#include "core/recording/fit_checksum.h"
#include "core/recording/fit_recording.h"
#include "tests/support/fit_writer.h"
#include "tests/support/shared_files.h"

namespace beatwitness::recording {
namespace {

using namespace beatwitness::tests;

constexpr std::uint32_t start = 1'000'000'000;

/// One definition (12 bytes from byte 14) and `records` records of 6 bytes each from byte 26.
FitWriter writerOf(std::uint32_t records) {
    FitWriter writer;
    writer.define(0, 20, {{253, 4, fit_base::uint32}, {3, 1, fit_base::uint8}});
    for (std::uint32_t i = 0; i < records; ++i)
        writer.data(0, {u32(start + i), u8(100)});
    return writer;
}

Recording read(const std::vector<std::byte>& bytes) {
    auto recording = readFit(bytes);
    EXPECT_TRUE(recording) << recording.fault().message;
    return recording ? std::move(*recording) : Recording{};
}

std::string onlyWarning(const Recording& recording) {
    EXPECT_EQ(recording.warnings.size(), 1U);
    return recording.warnings.empty() ? "" : recording.warnings.front();
}

TEST(FitDamage, ATruncatedFileGivesWhatStandsBeforeTheCut) {
    auto bytes = writerOf(3).bytes();
    bytes.resize(26 + 6 + 6 + 3);

    const auto recording = read(bytes);

    EXPECT_EQ(recording.rows, 2U);
    EXPECT_EQ(onlyWarning(recording),
              "Byte 41: expected the rest of the message at byte 38 and data up to byte 44, found the end of "
              "the file.");
}

TEST(FitDamage, AWrongChecksumIsAWarning) {
    const auto bytes = writerOf(3).bytes({.checksumError = 1});

    const auto recording = read(bytes);

    EXPECT_EQ(recording.rows, 3U);
    EXPECT_TRUE(onlyWarning(recording).starts_with("Byte 44: expected the checksum 0x"));
}

TEST(FitDamage, AMissingChecksumIsAWarning) {
    const auto bytes = writerOf(3).bytes({.closingChecksum = false});

    const auto recording = read(bytes);

    EXPECT_EQ(recording.rows, 3U);
    EXPECT_EQ(onlyWarning(recording), "Byte 44: expected a checksum of 2 bytes, found the end of the file.");
}

TEST(FitDamage, AWrongHeaderChecksumIsAWarning) {
    auto bytes = writerOf(3).bytes();
    bytes[12] ^= std::byte{1};

    const auto recording = read(bytes);

    EXPECT_EQ(recording.rows, 3U);
    EXPECT_TRUE(recording.warnings.at(0).starts_with("Byte 12: expected the header's checksum 0x"));
}

class FitLyingLength : public testing::TestWithParam<std::uint32_t> {};

TEST_P(FitLyingLength, LosesNoRecord) {
    const auto bytes = writerOf(3).bytes({.dataBytes = GetParam()});

    const auto recording = read(bytes);

    EXPECT_EQ(recording.rows, 3U);
    EXPECT_TRUE(onlyWarning(recording).starts_with("Byte ")) << onlyWarning(recording);
}

// The true length is 12 + 3 * 6 = 30.
INSTANTIATE_TEST_SUITE_P(All, FitLyingLength,
                         testing::Values(0U, 1U, 12U, 18U, 20U, 33U, 1000U, 0x7FFFFFFFU, 0xFFFFFFFFU));

TEST(FitDamage, GarbageBehindASoundFileIsNotRead) {
    auto bytes = writerOf(3).bytes();
    const auto garbage = writerOf(2).bytes();
    bytes.insert(bytes.end(), garbage.begin() + 26, garbage.end());

    const auto recording = read(bytes);

    EXPECT_EQ(recording.rows, 3U);
    EXPECT_TRUE(onlyWarning(recording).starts_with("Byte "));
}

TEST(FitDamage, APartBehindADamagedOneIsStillRead) {
    FitWriter damaged = writerOf(3);
    damaged.data(9, {u8(1)}).data(0, {u32(start + 9), u8(101)});
    auto bytes = damaged.bytes();
    const auto more = writerOf(2).bytes();
    bytes.insert(bytes.end(), more.begin(), more.end());

    const auto recording = read(bytes);

    EXPECT_EQ(recording.rows, 5U);
    EXPECT_EQ(onlyWarning(recording), "Byte 44: expected a definition of local message 9 before its data.");
}

/// A first part of three records whose header says `dataBytes`, and a sound second part of two.
std::vector<std::byte> chainWithLyingLength(std::uint32_t dataBytes) {
    auto bytes = writerOf(3).bytes({.dataBytes = dataBytes});
    const auto more = writerOf(2).bytes();
    bytes.insert(bytes.end(), more.begin(), more.end());
    return bytes;
}

TEST(FitDamage, APartBehindALengthThatIsTooShortIsStillRead) {
    const auto recording = read(chainWithLyingLength(18));

    EXPECT_EQ(recording.rows, 5U);
    EXPECT_TRUE(onlyWarning(recording).starts_with("Byte 4: expected the length of the data"));
}

TEST(FitDamage, APartBehindALengthThatIsTooLongIsStillRead) {
    const auto recording = read(chainWithLyingLength(1'000'000));

    EXPECT_EQ(recording.rows, 5U);
    EXPECT_TRUE(onlyWarning(recording).starts_with("Byte 44: ")) << onlyWarning(recording);
}

TEST(FitDamage, AFileWithoutAnyReadableMessageIsAFaultWithItsByte) {
    auto bytes = writerOf(1).bytes();
    bytes[9] = std::byte{'X'};

    const auto recording = readFit(bytes);

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::Damaged);
    EXPECT_EQ(recording.fault().byte, 8U);
    EXPECT_EQ(recording.fault().message,
              "no FIT message could be read: expected the mark \".FIT\" in the header, found \".XIT\"");
}

TEST(FitDamage, ASoundFileWithoutRecordsIsNoFault) {
    const auto recording = read(FitWriter{}.bytes());

    EXPECT_EQ(recording.rows, 0U);
    EXPECT_EQ(onlyWarning(recording), "The file holds no records with a time.");
}

TEST(FitDamage, IsRecognisedAsFitThroughAWrongCharacterOfTheMark) {
    auto bytes = writerOf(1).bytes();
    bytes[9] = std::byte{'X'};

    EXPECT_TRUE(looksLikeFit(bytes));
}

TEST(FitDamage, TextIsNotTakenForFit) {
    const std::string_view text = "timestamp,heart_rate\n2031-03-02T09:00:00Z,120\n";

    EXPECT_FALSE(looksLikeFit(std::as_bytes(std::span{text})));
}

/// What must hold whatever the bytes are.
void expectSound(const Result<Recording>& result, std::size_t fileSize) {
    if (!result) {
        EXPECT_EQ(result.fault().code, FaultCode::Damaged);
        EXPECT_TRUE(result.fault().byte && *result.fault().byte <= fileSize);
        return;
    }
    EXPECT_LE(result->rows, fileSize);
    EXPECT_LE(result->warnings.size(), 16U);
    for (const auto& channel : result->channels) {
        EXPECT_FALSE(channel.values.empty());
        EXPECT_EQ(channel.times.size(), channel.values.size());
        EXPECT_TRUE(std::ranges::all_of(channel.values, [](double value) { return std::isfinite(value); }));
    }
    for (const auto& lap : result->laps)
        EXPECT_LE(lap.span.begin, lap.span.end);
}

/// A copy that ends where its memory ends, so that the address sanitizer sees every byte read too many.
Result<Recording> readExactly(std::span<const std::byte> bytes) {
    const std::vector<std::byte> copy(bytes.begin(), bytes.end());
    return readFit(copy);
}

class FitDamagedRecordings : public testing::TestWithParam<const char*> {
protected:
    void SetUp() override {
        const auto file = sharedFile(std::string{"recordings/fit/"} + GetParam());
        if (!file) GTEST_SKIP() << "the shared recordings are not here";
        auto bytes = fileBytes(*file);
        ASSERT_TRUE(bytes);
        bytes_ = std::move(*bytes);
    }
    std::vector<std::byte> bytes_;
};

TEST_P(FitDamagedRecordings, SurviveACutAtEveryByteWithNeverMoreRowsThanBefore) {
    // Every byte of the first 6000, then every 211th: the larger files repeat themselves.
    std::size_t rows = 0;
    for (std::size_t size = 1; size < bytes_.size(); size += size < 6000 ? 1 : 211) {
        const auto recording = readExactly(std::span{bytes_}.first(size));

        expectSound(recording, size);
        const std::size_t now = recording ? recording->rows : 0;
        ASSERT_GE(now, rows) << "cut at byte " << size;
        // A checksum of 0 over everything: the cut fell between two chained parts, the file is sound.
        if (recording && fitChecksum(std::span{bytes_}.first(size)) != 0) {
            EXPECT_FALSE(recording->warnings.empty()) << "cut at byte " << size;
        }
        rows = now;
    }
}

TEST_P(FitDamagedRecordings, SurviveFlippedBytes) {
    std::mt19937 random{20310302};
    std::uniform_int_distribution<std::size_t> place{0, bytes_.size() - 1};
    std::uniform_int_distribution<int> value{0, 255}, flips{1, 8};
    for (int round = 0; round < 600; ++round) {
        auto damaged = bytes_;
        for (int flip = flips(random); flip > 0; --flip)
            damaged[place(random)] = static_cast<std::byte>(value(random));

        expectSound(readExactly(damaged), damaged.size());
    }
}

TEST_P(FitDamagedRecordings, SurviveFlippedBytesAmongTheDefinitions) {
    std::mt19937 random{20310303};
    std::uniform_int_distribution<std::size_t> place{0, std::min<std::size_t>(bytes_.size(), 400) - 1};
    std::uniform_int_distribution<int> value{0, 255};
    for (int round = 0; round < 1500; ++round) {
        auto damaged = bytes_;
        damaged[place(random)] = static_cast<std::byte>(value(random));

        expectSound(readExactly(damaged), damaged.size());
    }
}

INSTANTIATE_TEST_SUITE_P(All, FitDamagedRecordings,
                         testing::Values("compressed-timestamps.fit", "wrist-short.fit",
                                         "unterminated-strings.fit", "wrong-crc-no-hr.fit",
                                         "second-header-damaged.fit", "not-an-activity.fit",
                                         "chained-swim-hr-messages.fit", "rr-messages.fit"),
                         [](const auto& tested) {
                             std::string name = tested.param;
                             name.resize(name.size() - 4);
                             std::erase(name, '-');
                             return name;
                         });

}  // namespace
}  // namespace beatwitness::recording
