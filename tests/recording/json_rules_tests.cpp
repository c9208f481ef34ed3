#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <span>
#include <string>

#include "core/foundation/text.h"
#include "core/recording/read_recording.h"

namespace beatwitness::recording {
namespace {

Result<Recording> read(std::string_view text, const ReadOptions& options = {}) {
    return readRecording(std::as_bytes(std::span{text.data(), text.size()}), options);
}

std::string shown(const Result<Recording>& recording, ChannelKind kind = ChannelKind::HeartRate) {
    if (!recording) return sentence(recording.fault());
    const Channel* channel = recording->channel(kind);
    if (channel == nullptr) return "none";
    std::string text;
    for (std::size_t i = 0; i < channel->values.size(); ++i)
        text += fmt::format("{}{:.6g}@{}", i == 0 ? "" : " ", channel->values[i],
                            recording->clock == ClockBasis::None
                                ? fmt::format("{:.3f}", toSeconds(channel->times[i].time_since_epoch()).value)
                                : isoInstant(channel->times[i].time_since_epoch()));
    return text;
}

struct Case {
    const char* name;
    const char* text;
};

// 1930208400 s is 2031-03-02T09:00:00Z (date -u -d @1930208400).
const char* const twoInstants = "72@2031-03-02T09:00:00.000Z 73.5@2031-03-02T09:00:01.500Z";

class TwoInstants : public testing::TestWithParam<Case> {};

TEST_P(TwoInstants, ReadTheSame) {
    const auto recording = read(GetParam().text);

    EXPECT_EQ(shown(recording), twoInstants);
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->format, Format::Json);
    EXPECT_EQ(recording->clock, ClockBasis::Utc);
    EXPECT_EQ(recording->rows, 2u);
}

INSTANTIATE_TEST_SUITE_P(
    Shapes, TwoInstants,
    testing::Values(
        Case{"objects",
             R"([{"time":"2031-03-02T09:00:00Z","hr":72},{"time":"2031-03-02T09:00:01.5Z","hr":73.5}])"},
        Case{
            "offset",
            R"([{"time":"2031-03-02T10:00:00+01:00","hr":72},{"time":"2031-03-02T10:00:01.5+01:00","hr":73.5}])"},
        Case{"seconds",
             R"([{"timestamp":1930208400,"heart_rate":72},{"timestamp":1930208401.5,"heart_rate":73.5}])"},
        Case{"milliseconds",
             R"([{"t":1,"timestamp":1930208400000,"bpm":72},{"t":2,"timestamp":1930208401500,"bpm":73.5}])"},
        Case{
            "microseconds",
            R"([{"ts":0,"timestamp":1930208400000000,"pulse":72},{"timestamp":1930208401500000,"pulse":73.5}])"},
        Case{"words", R"([{"time":"1930208400","hr":"72"},{"time":"1930208401.5","hr":"73.5"}])"},
        Case{"pairs", "[[1930208400,72],[1930208401.5,73.5]]"},
        Case{"turnedPairs", "[[72,1930208400],[73.5,1930208401.5]]"},
        Case{"datedPairs", R"([["2031-03-02T09:00:00Z",72],["2031-03-02T09:00:01.5Z",73.5]])"},
        Case{"parallel", R"({"time":[1930208400,1930208401.5],"hr":[72,73.5]})"},
        Case{"parallelRateFirst", R"({"hr":[72,73.5],"time":[1930208400,1930208401.5]})"},
        Case{"streams", R"({"streams":{"hr":{"data":[72,73.5]},"time":{"data":[1930208400,1930208401.5]}}})"},
        Case{"values", R"({"timestamps":[1930208400,1930208401.5],"values":[72,73.5]})"},
        Case{
            "nested",
            R"({"a":{"b":[{"c":[{"time":1930208400,"hr":{"value":72}},{"time":1930208401.5,"hr":{"value":73.5}}]}]}})"},
        Case{"lines", "{\"time\":1930208400,\"hr\":72}\n{\"time\":1930208401.5,\"hr\":73.5}\n"},
        Case{
            "start",
            R"({"start":"2031-03-02T09:00:00Z","samples":[{"elapsed":0,"hr":72},{"elapsed":1.5,"hr":73.5}]})"},
        Case{
            "longestList",
            R"({"x":[{"time":1,"hr":60}],"y":[{"time":1930208400,"hr":72},{"time":1930208401.5,"hr":73.5}]})"},
        Case{
            "kinds",
            R"([{"type":"STEPS","time":1930208400,"value":70},{"type":"HEART_RATE","time":1930208400,"value":72},{"type":"HEART_RATE","time":1930208401.5,"value":73.5}])"},
        Case{"mark", "\xEF\xBB\xBF[[1930208400,72],[1930208401.5,73.5]]"},
        Case{
            "escapes",
            R"([{"tim\u0065":"2031-03-02T09:00:00\u005a","h\u0072":72},{"time":"2031-03-02T09:00:01.5Z","hr":73.5}])"}),
    [](const auto& of) { return of.param.name; });

TEST(JsonReader, CountsElapsedTimesFromZero) {
    EXPECT_EQ(shown(read(R"({"time":[0,1,2],"hr":[70,71,72]})")), "70@0.000 71@1.000 72@2.000");
}

TEST(JsonReader, TakesTheUnitOfElapsedTimesFromTheKey) {
    EXPECT_EQ(shown(read(R"([{"time_ms":0,"hr":70},{"time_ms":500,"hr":71}])")), "70@0.000 71@0.500");
}

TEST(JsonReader, SaysThatAZoneIsUnknown) {
    const auto recording = read(R"([{"time":"2031-03-02T09:00:00","hr":72}])");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->clock, ClockBasis::ZoneUnknown);
}

TEST(JsonReader, TakesTheZoneThatIsGiven) {
    ReadOptions options;
    options.zone = "+02:00";

    EXPECT_EQ(shown(read(R"([{"time":"2031-03-02T09:00:00","hr":72}])", options)),
              "72@2031-03-02T07:00:00.000Z");
}

TEST(JsonReader, TakesTheKeysThatOptionsName) {
    ReadOptions options;
    options.timeColumn = "time";
    options.rateColumn = "hr2";
    const std::string_view text =
        R"([{"time":1,"timestamp":1930208400,"hr":60,"hr2":72},{"time":2,"timestamp":1930208401,"hr":61,"hr2":73}])";

    EXPECT_EQ(shown(read(text, options)), "72@1.000 73@2.000");
}

TEST(JsonReader, CountsWhatIsNoRateAsMissing) {
    const auto recording = read(
        R"([{"time":1,"hr":70},{"time":2,"hr":null},{"time":3,"hr":0},{"time":4,"hr":"NA"},{"time":5,"hr":NaN},{"time":6,"hr":-Infinity},{"time":7},{"time":8,"hr":71}])");

    EXPECT_EQ(shown(recording), "70@1.000 71@8.000");
    EXPECT_EQ(recording->rows, 8u);
}

TEST(JsonReader, LeavesNotANumberWithinWordsAlone) {
    EXPECT_EQ(shown(read(R"({"note":"NaN \" NaN","time":[1,2],"hr":[70,NaN]})")), "70@1.000");
}

TEST(JsonReader, KeepsOtherMeasures) {
    const auto recording = read(R"([{"time":1,"hr":70,"cadence":80},{"time":2,"hr":71,"cadence":82}])");

    EXPECT_EQ(shown(recording, ChannelKind::Cadence), "80@1.000 82@2.000");
}

// 60000/800 = 75 at each closing beat: 0.8, 1.55, 2.35 s and so on.
class JsonBeats : public testing::TestWithParam<Case> {};

TEST_P(JsonBeats, AreReadWhereThereAreNoRates) {
    const auto recording = read(GetParam().text);

    EXPECT_EQ(shown(recording), "75@0.800 80@1.550 75@2.350 80@3.100 75@3.900");
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->rows, 5u);
    EXPECT_EQ(recording->format, Format::Json);
    EXPECT_TRUE(recording->artefactShare_pct);
}

INSTANTIATE_TEST_SUITE_P(
    Shapes, JsonBeats,
    testing::Values(
        Case{"list", R"({"rr":[800,750,800,750,800]})"},
        Case{"seconds", R"({"ibi":[0.8,0.75,0.8,0.75,0.8]})"}, Case{"lone", "[800, 750, 800, 750, 800]"},
        Case{"objects", R"([{"rr":800},{"rr":750},{"rr":800},{"rr":750},{"rr":800}])"},
        Case{
            "timed",
            R"([{"time":0.8,"rr":800},{"time":1.55,"rr":750},{"time":2.35,"rr":800},{"time":3.1,"rr":750},{"time":3.9,"rr":800}])"}),
    [](const auto& tested) { return tested.param.name; });

TEST(JsonReader, StartsBeatsWhereTheTextSays) {
    const auto recording = read(R"({"start":"2031-03-02T09:00:00Z","rr":[800,750,800]})");

    ASSERT_TRUE(recording);
    EXPECT_EQ(isoInstant(recording->channel(ChannelKind::BeatInterval)->times[0].time_since_epoch()),
              "2031-03-02T09:00:00.800Z");
}

TEST(JsonReader, TakesTimesThatAreKeys) {
    EXPECT_EQ(shown(read(R"({"heart_rate":{"2031-03-02T09:00:00Z":72,"2031-03-02T09:00:01.5Z":73.5}})")),
              twoInstants);
}

TEST(JsonReader, TakesTheMonthFirstEverywhereWhereOneDateSaysSo) {
    const auto recording =
        read(R"([{"time":"03/02/2031 09:00:00","hr":72},{"time":"03/13/2031 09:00:00","hr":73}])");

    EXPECT_EQ(shown(recording), "72@2031-03-02T09:00:00.000Z 73@2031-03-13T09:00:00.000Z");
    ASSERT_TRUE(recording);
    EXPECT_NE(std::ranges::find(recording->guessed,
                                std::pair<std::string, std::string>{"date order", "month/day/year"}),
              recording->guessed.end());
}

TEST(JsonReader, SaysThatTheOrderOfDayAndMonthIsOpen) {
    const auto recording = read(R"([{"time":"03/02/2031 09:00:00","hr":72}])");

    ASSERT_TRUE(recording);
    EXPECT_NE(recording->warnings.front().find("which number is the day"), std::string::npos);
}

TEST(JsonReader, SaysWhichListWasTaken) {
    const auto recording = read(R"({"a":{"samples":[{"time":1,"hr":70},{"time":2,"hr":71}]}})");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->guessed.front().second, "list of objects at a.samples");
}

TEST(JsonReader, LeavesHeadersAndSectionsInBracketsToTheirReaders) {
    const auto table = read("[time],[hr]\n1,72\n2,73\n");

    ASSERT_TRUE(table) << table.fault().message;
    EXPECT_EQ(table->format, Format::Csv);
}

class NoJsonTable : public testing::TestWithParam<Case> {};

TEST_P(NoJsonTable, IsAFaultWithASentence) {
    const auto recording = read(GetParam().text);

    ASSERT_FALSE(recording);
    EXPECT_GT(recording.fault().message.size(), 30u);
}

INSTANTIATE_TEST_SUITE_P(Texts, NoJsonTable,
                         testing::Values(Case{"nothing", "{}"}, Case{"list", "[1,2,3]"},
                                         Case{"noTimes", R"({"hr":[70,71]})"},
                                         Case{"noRates", R"([{"time":1},{"time":2}])"}, Case{"broken", "{"},
                                         Case{"wrong", R"({"time": )"}),
                         [](const auto& of) { return of.param.name; });

TEST(JsonReader, ReadsRandomRowsBackInEveryShape) {
    std::mt19937 random{20310302};
    for (int attempt = 0; attempt < 100; ++attempt) {
        std::string objects, pairs, times, rates, lines, expected;
        long time_ms = 0;
        for (int i = 0; i < 40; ++i) {
            time_ms += 1 + static_cast<long>(random() % 9000);
            const double rate = 40.0 + static_cast<double>(random() % 1600) / 10.0;
            const std::string comma = i == 0 ? "" : ",";
            const std::string at = fmt::format("{}.{:03}", time_ms / 1000, time_ms % 1000);
            objects += fmt::format("{}{{\"hr\":{},\"time\":{}}}", comma, rate, at);
            lines += fmt::format("{{\"time\":{},\"hr\":{}}}\n", at, rate);
            pairs += fmt::format("{}[{},{}]", comma, at, rate);
            times += comma + at;
            rates += fmt::format("{}{}", comma, rate);
            expected += fmt::format("{}{:.6g}@{}", i == 0 ? "" : " ", rate, at);
        }

        EXPECT_EQ(shown(read("[" + objects + "]")), expected);
        EXPECT_EQ(shown(read("{\"d\": [" + pairs + "]}")), expected);
        EXPECT_EQ(shown(read("{\"time\":[" + times + "],\"hr\":[" + rates + "]}")), expected);
        EXPECT_EQ(shown(read(lines)), expected);
    }
}

}  // namespace
}  // namespace beatwitness::recording
