#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <span>
#include <string>
#include <vector>

#include "core/recording/json_recording.h"
#include "tests/support/reading.h"

namespace beatwitness::recording {
namespace {

using tests::bytesOf;
using tests::expectSound;
using tests::rates;
using tests::withBytesFlipped;

Result<Recording> read(const std::string& text) {
    return readJson(bytesOf(text));
}

std::vector<std::string> files() {
    std::string objects = R"({"start":"2031-03-02T09:00:00Z","name":"\u0041 \"x\"","data":[)", pairs = "[",
                times, values, lines;
    for (int i = 0; i < 20; ++i) {
        const std::string comma = i == 0 ? "" : ", ", time = std::to_string(100 + i),
                          rate = std::to_string(70 + i);
        objects +=
            comma + R"({"elapsed": )" + time + R"(, "heartRate": {"value": )" + rate + R"(, "unit": "bpm"}})";
        pairs += comma + "[" + time + ", " + rate + "]";
        times += comma + time;
        values += comma + rate;
        lines += R"({"time":)" + time + R"(,"hr":)" + rate + "}\n";
    }
    return {objects + "]}", pairs + "]", "{\"time\":[" + times + "],\"hr\":[" + values + "]}", lines};
}

TEST(DamagedJson, ReadsOrFaultsWhereverItIsCut) {
    for (const std::string& whole : files()) {
        for (std::size_t length = 0; length <= whole.size(); ++length)
            expectSound(read(whole.substr(0, length)));
        EXPECT_EQ(rates(read(whole)), 20u);
    }
}

TEST(DamagedJson, KeepsWholeRowsBeforeTheCutAndNamesTheByte) {
    const std::string whole = files()[0];

    const auto recording = read(whole.substr(0, whole.size() - 15));

    ASSERT_TRUE(recording);
    EXPECT_EQ(rates(recording), 19u);
    ASSERT_FALSE(recording->warnings.empty());
    EXPECT_NE(recording->warnings.back().find("byte"), std::string::npos);
}

TEST(DamagedJson, TakesNoNumberThatTheCutShortened) {
    const auto recording = read(R"({"time":[1,2,3],"hr":[70,71,12)");

    EXPECT_EQ(rates(recording), 2u);
}

TEST(DamagedJson, LosesOnlyTheLineThatIsBroken) {
    EXPECT_EQ(rates(read("{\"time\":1,\"hr\":70}\n{\"time\":2,\"h\n{\"time\":3,\"hr\":72}\n")), 2u);
}

TEST(DamagedJson, ReadsOrFaultsWithAnyBytesFlipped) {
    std::mt19937 random{20310302};
    const auto wholes = files();

    for (int attempt = 0; attempt < 8000; ++attempt) {
        const std::string damaged =
            withBytesFlipped(wholes[random() % wholes.size()], 1 + attempt % 8, random);
        expectSound(read(damaged));
    }
}

class Depth : public testing::TestWithParam<const char*> {};

TEST_P(Depth, IsNoDanger) {
    std::string text;
    for (int i = 0; i < 200'000; ++i)
        text += GetParam();

    expectSound(read(text));
    expectSound(read("[{\"time\":1,\"hr\":70},{\"time\":2,\"hr\":71}," + text));
}

INSTANTIATE_TEST_SUITE_P(Openings, Depth, testing::Values("[", "{\"a\":", "[{\"hr\":", "[[1,70],"));

TEST(DamagedJson, KeepsWhatStoodBeforeEndlessDepth) {
    std::string text = "[{\"time\":1,\"hr\":70},{\"time\":2,\"hr\":71},";
    text.append(200'000, '[');

    EXPECT_EQ(rates(read(text)), 2u);
}

TEST(DamagedJson, SurvivesAbsurdNumbers) {
    const auto recording = read(
        R"([{"time":1,"hr":70},{"time":1e300,"hr":71},{"time":-1e18,"hr":72},{"time":99999999999999999999999,"hr":73},{"time":2,"hr":1e308},{"time":3,"hr":74}])");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->rows, 3u);
    EXPECT_EQ(rates(recording), 3u);
}

TEST(DamagedJson, LeavesRowsOfNoDateOut) {
    const auto recording = read(R"({"time":[1930208400,0,1930208402,1930208403],"hr":[70,71,72,73]})");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->rows, 3u);
}

TEST(DamagedJson, KeepsWhatStoodBeforeANumberBeyondAllBounds) {
    EXPECT_EQ(
        rates(read(R"([{"time":1,"hr":70},{"time":2,"hr":71},{"time":3,"hr":1e999},{"time":4,"hr":72}])")),
        2u);
}

TEST(DamagedJson, SurvivesManyKeysAndPlaces) {
    std::string text = "{";
    for (int i = 0; i < 20'000; ++i)
        text += "\"hr" + std::to_string(i) + "\":{\"time\":[1],\"hr\":[70]},";
    text += "\"x\":1}";

    EXPECT_EQ(rates(read(text)), 1u);
}

TEST(DamagedJson, StopsWhenItIsTold) {
    std::stop_source stop;
    stop.request_stop();
    const std::string text = files()[0];

    const auto recording = readJson(bytesOf(text), {}, RunControl{stop.get_token(), {}});

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::Cancelled);
}

}  // namespace
}  // namespace beatwitness::recording
