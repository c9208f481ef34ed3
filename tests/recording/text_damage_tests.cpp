#include <gtest/gtest.h>

#include <random>
#include <span>
#include <string_view>

#include "core/foundation/text.h"
#include "core/recording/text_recording.h"
#include "tests/support/reading.h"

namespace beatwitness::recording {
namespace {

using tests::bytesOf;
using tests::expectSound;
using tests::rates;
using tests::warnings;
using tests::withBytesFlipped;

Result<Recording> read(std::string_view text) {
    return readText(bytesOf(text));
}

std::string smallTable() {
    std::string text =
        "# start: 2031-03-02T09:00:00Z\ndate;\"time \"\"local\"\"\";Heart Rate [bpm];lap;Speed (km/h)\r\n";
    for (int i = 0; i < 30; ++i)
        text += "02/03/2031;09:00:" + std::to_string(10 + i) + ",5 AM;\"" + std::to_string(70 + i) + "\";" +
                std::to_string(i / 10) + ";12,5\r\n";
    return text;
}

TEST(DamagedText, ReadsOrFaultsWhereverItIsCut) {
    const std::string whole = smallTable();

    for (std::size_t length = 0; length <= whole.size(); ++length)
        expectSound(read(whole.substr(0, length)));

    EXPECT_EQ(rates(read(whole)), 30u);
}

TEST(DamagedText, ReadsOrFaultsWithAnyBytesFlipped) {
    std::mt19937 random{20310302};
    const std::string whole = smallTable();

    for (int attempt = 0; attempt < 3000; ++attempt) {
        const std::string damaged = withBytesFlipped(whole, 1 + attempt % 8, random);
        expectSound(read(damaged));
    }
}

TEST(DamagedText, KeepsTheRowsAroundARunOfZeroBytes) {
    std::string text = "time,hr\n1,70\n2,71\n";
    text.append(5000, '\0');
    text += "\n3,72\n4,73\n";

    const auto recording = read(text);

    EXPECT_EQ(rates(recording), 4u);
    EXPECT_NE(warnings(recording).find("line 4"), std::string::npos) << warnings(recording);
}

TEST(DamagedText, IsStillTextWithZerosInItsSecondLine) {
    const std::string_view text{"time,hr\n1,\0\0\n2,71\n", 17};

    EXPECT_TRUE(looksLikeText(bytesOf(text)));
    EXPECT_EQ(rates(read(text)), 1u);
}

TEST(DamagedText, LosesOnlyTheRowOfAQuoteThatIsNeverClosed) {
    std::string text = "time,hr,note\n1,70,a\n2,71,\"open\n";
    for (int i = 3; i < 3000; ++i)
        text += std::to_string(i) + ",72,\n";

    const auto recording = read(text);

    EXPECT_EQ(rates(recording), 2999u);
    EXPECT_NE(warnings(recording).find("line 3"), std::string::npos) << warnings(recording);
}

TEST(DamagedText, TellsOfRowsOfAnotherWidth) {
    const auto recording = read("time,hr,cadence\n1,70,80\n2,71\n3,72,80,5,6\n4,73,80\n");

    EXPECT_EQ(rates(recording), 4u);
    EXPECT_NE(warnings(recording).find("2 rows with another number of fields"), std::string::npos)
        << warnings(recording);
}

TEST(DamagedText, TellsOfTimesThatGoBackOrRepeat) {
    const auto recording = read("time,hr\n1,70\n3,71\n2,72\n2,73\n");

    EXPECT_EQ(rates(recording), 4u);
    EXPECT_NE(warnings(recording).find("1 row going back in time (first in line 4)"), std::string::npos);
    EXPECT_NE(warnings(recording).find("1 row repeating the time of the row before (first in line 5)"),
              std::string::npos);
}

TEST(DamagedText, LeavesOutDatesThatCannotBe) {
    const auto recording =
        read("time,hr\n2031-03-02T09:00:00Z,70\n1801-03-02T09:00:00Z,71\n2031-02-30T09:00:00Z,72\n");

    EXPECT_EQ(rates(recording), 1u);
    EXPECT_NE(warnings(recording).find("2 rows without a time"), std::string::npos) << warnings(recording);
}

TEST(DamagedText, CountsARateThatIsNoNumberAsMissing) {
    const auto recording = read("time,hr\n1,70\n2,7x2\n3,nan\n4,inf\n");

    ASSERT_TRUE(recording);
    EXPECT_EQ(rates(recording), 1u);
    EXPECT_EQ(recording->rows, 4u);
    EXPECT_NE(warnings(recording).find("7x2"), std::string::npos) << warnings(recording);
}

TEST(DamagedText, TakesALineOfThirtyMegabytesInItsStride) {
    std::string text = "time,hr\n1,70\n2,71";
    for (int i = 0; i < 10'000'000; ++i)
        text += ",72";
    text += "\n3,72\n";

    const auto recording = read(text);

    EXPECT_EQ(rates(recording), 3u);
}

TEST(DamagedText, TakesAMillionQuotesInItsStride) {
    std::string text = "time,hr\n1,70\n";
    for (int i = 0; i < 1'000'000; ++i)
        text += i % 3 == 0 ? "\"a\"\"\n" : ",\"\"\"b";

    expectSound(read(text));
}

TEST(DamagedText, StopsWhenAsked) {
    std::string text = "time,hr\n";
    for (int i = 0; i < 200'000; ++i)
        text += std::to_string(i) + ",70\n";
    std::stop_source source;
    const RunControl run{source.get_token(), [&source](double) { source.request_stop(); }};

    const auto recording = readText(bytesOf(text), {}, run);

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::Cancelled);
}

}  // namespace
}  // namespace beatwitness::recording
