#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <span>

#include "core/foundation/text.h"
#include "core/recording/read_recording.h"

namespace beatwitness::recording {
namespace {

Result<Recording> read(std::string_view text, const ReadOptions& options = {}) {
    return readRecording(std::as_bytes(std::span{text.data(), text.size()}), options);
}

/// "800@0.800 810@1.610": intervals in ms at seconds.
std::string intervals(const Result<Recording>& recording) {
    if (!recording) return sentence(recording.fault());
    const Channel* channel = recording->channel(ChannelKind::BeatInterval);
    if (channel == nullptr) return "none";
    std::string text;
    for (std::size_t i = 0; i < channel->values.size(); ++i)
        text += fmt::format("{}{:.6g}@{:.3f}", i == 0 ? "" : " ", channel->values[i],
                            toSeconds(channel->times[i].time_since_epoch()).value);
    return text;
}

std::string rates(const Result<Recording>& recording) {
    if (!recording) return sentence(recording.fault());
    const Channel* channel = recording->channel(ChannelKind::HeartRate);
    if (channel == nullptr) return "none";
    std::string text;
    for (std::size_t i = 0; i < channel->values.size(); ++i)
        text += fmt::format("{}{:.6g}@{:.3f}", i == 0 ? "" : " ", channel->values[i],
                            toSeconds(channel->times[i].time_since_epoch()).value);
    return text;
}

std::string guess(const Result<Recording>& recording, std::string_view what) {
    if (!recording) return sentence(recording.fault());
    for (const auto& [key, value] : recording->guessed)
        if (key == what) return value;
    return "";
}

struct Case {
    const char* name;
    const char* text;
};

const char* const threeBeats = "800@0.800 750@1.550 1000@2.550";

class ThreeBeats : public testing::TestWithParam<Case> {};

TEST_P(ThreeBeats, ReadTheSame) {
    const auto recording = read(GetParam().text);

    EXPECT_EQ(intervals(recording), threeBeats);
    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->format, Format::Rr);
    EXPECT_EQ(recording->rows, 3u);
    EXPECT_EQ(recording->clock, ClockBasis::None);
}

INSTANTIATE_TEST_SUITE_P(
    Layouts, ThreeBeats,
    testing::Values(
        Case{"milliseconds", "800\n750\n1000\n"}, Case{"carriageReturns", "800\r\n750\r\n1000\r\n"},
        Case{"seconds", "0.800\n0.750\n1.000\n"}, Case{"commas", "0,800\n0,750\n1,000\n"},
        Case{"header", "RR\n800\n750\n1000\n"}, Case{"headerWithUnit", "rri [ms]\n800\n750\n1000\n"},
        Case{"secondsHeader", "IBI (s)\n0.8\n0.75\n1\n"}, Case{"unitAlone", "ms\n800\n750\n1000\n"},
        Case{"value", "value\n800\n750\n1000\n"}, Case{"interval", "interval\n800\n750\n1000\n"},
        Case{"wrongUnitInHeader", "rr_ms\n0.8\n0.75\n1.0\n"}, Case{"index", "n,rr\n1,800\n2,750\n3,1000\n"},
        Case{"bareIndex", "1 800\n2 750\n3 1000\n"},
        Case{"timeFirst", "time,rr\n0.8,800\n1.55,750\n2.55,1000\n"},
        Case{"timeLast", "rr;time\n800;0.8\n750;1.55\n1000;2.55\n"},
        Case{"timesInMilliseconds", "time,rr\n800,800\n1550,750\n2550,1000\n"},
        Case{"noHeader", "0.8,800\n1.55,750\n2.55,1000\n"},
        Case{"noHeaderIntervalFirst", "800\t0.8\n750\t1.55\n1000\t2.55\n"},
        Case{"secondsBoth", "0.8,0.8\n1.55,0.75\n2.55,1.0\n"},
        Case{"comments", "# rest\n800\n# here\n750\n1000\n"}, Case{"subject", "00000000\n800\n750\n1000\n"}),
    [](const auto& of) { return of.param.name; });

TEST(BeatReader, GivesEachIntervalsRateAtItsClosingBeat) {
    // 60000 / 800 = 75, / 750 = 80, / 1000 = 60.
    EXPECT_EQ(rates(read("800\n750\n1000\n")), "75@0.800 80@1.550 60@2.550");
}

TEST(BeatReader, StartsWhereACommentSaysSo) {
    const auto recording = read("# start: 2031-03-02T09:00:00Z\n800\n750\n1000\n");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->clock, ClockBasis::Utc);
    EXPECT_EQ(isoInstant(recording->channel(ChannelKind::HeartRate)->times[0].time_since_epoch()),
              "2031-03-02T09:00:00.800Z");
}

TEST(BeatReader, LaysAStartWithoutAZoneOnUtc) {
    const auto recording = read("# start: 2031-03-02T09:00:00\n800\n750\n1000\n");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->clock, ClockBasis::ZoneUnknown);
}

TEST(BeatReader, TakesTheZoneThatIsGiven) {
    ReadOptions options;
    options.zone = "+02:00";

    const auto recording = read("# start: 2031-03-02T09:00:00\n800\n750\n1000\n", options);

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->clock, ClockBasis::Utc);
    EXPECT_EQ(isoInstant(recording->channel(ChannelKind::HeartRate)->times[0].time_since_epoch()),
              "2031-03-02T07:00:00.800Z");
}

// 1930208400 s is 2031-03-02T09:00:00Z (date -u -d @1930208400).
TEST(BeatReader, StartsAtTheEpochInLineOne) {
    const auto recording = read("1930208400.000000, IBI\n0.8,0.8\n1.55,0.75\n2.55,1.0\n");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->clock, ClockBasis::Utc);
    EXPECT_EQ(isoInstant(recording->channel(ChannelKind::HeartRate)->times[2].time_since_epoch()),
              "2031-03-02T09:00:02.550Z");
}

TEST(BeatReader, ReadsTimesOfBeats) {
    const auto recording = read("0.3\n1.1\n1.85\n2.85\n3.65\n");

    EXPECT_EQ(intervals(recording), "800@1.100 750@1.850 1000@2.850 800@3.650");
    EXPECT_EQ(recording->rows, 5u);
}

TEST(BeatReader, ReadsTimesOfBeatsInMilliseconds) {
    EXPECT_EQ(intervals(read("300\n1100\n1850\n2850\n3650\n4400\n5150\n6000\n6900\n7700\n")).substr(0, 9),
              "800@1.100");
}

TEST(BeatReader, SpoilsTheIntervalsOnBothSidesOfALabelledArtefact) {
    const auto recording = read("17\n0.3 N\n1.1 N\n1.85 X\n2.65 N\n3.40 N\n4.20 S\n");

    EXPECT_EQ(rates(recording), "75@1.100 80@3.400 75@4.200");
    EXPECT_EQ(recording->rows, 6u);
    EXPECT_DOUBLE_EQ(*recording->artefactShare_pct, 40.0);  // two of five
}

TEST(BeatReader, ReadsTimesOfBeatsUnderAWord) {
    EXPECT_EQ(intervals(read("beat time (s)\n0.3\n1.1\n1.85\n2.85\n3.65\n")),
              "800@1.100 750@1.850 1000@2.850 800@3.650");
}

TEST(BeatReader, BelievesTheLabelBesideAnInterval) {
    const auto recording = read("rr,label\n800,N\n750,X\n1000,N\n");

    EXPECT_EQ(intervals(recording), threeBeats);
    EXPECT_EQ(rates(recording), "75@0.800 60@2.550");
}

TEST(BeatReader, CountsArtefactsAsMissing) {
    std::string text;
    for (int i = 0; i < 40; ++i)
        text += i == 20 ? "1600\n" : i % 2 == 0 ? "800\n" : "805\n";

    const auto recording = read(text);

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->rows, 40u);
    EXPECT_EQ(recording->channel(ChannelKind::HeartRate)->values.size(), 39u);
    EXPECT_EQ(recording->channel(ChannelKind::BeatInterval)->values.size(), 40u);
    EXPECT_DOUBLE_EQ(*recording->artefactShare_pct, 2.5);
}

TEST(BeatReader, PlacesBeatsThatShareASecondByTheirIntervals) {
    const auto recording = read(
        "time,rr\n2031-03-02T09:00:00Z,500\n2031-03-02T09:00:00Z,500\n2031-03-02T09:00:01Z,500\n"
        "2031-03-02T09:00:01Z,500\n");

    ASSERT_TRUE(recording);
    const auto& times = recording->channel(ChannelKind::BeatInterval)->times;
    EXPECT_EQ(times[3] - times[0], Micros{1'500'000});
}

TEST(BeatReader, MovesTimesOfOpeningBeatsToTheClosingOnes) {
    std::string text = "time,rr\n";
    const int pattern[] = {800, 850, 910, 760, 830, 990, 700, 880, 940, 810};
    int time = 0;
    for (const int interval : pattern) {
        text += fmt::format("{}.{:03},{}\n", time / 1000, time % 1000, interval);
        time += interval;
    }

    const auto recording = read(text);

    EXPECT_EQ(intervals(recording).substr(0, 19), "800@0.800 850@1.650");
    EXPECT_NE(guess(recording, "time of a row"), "");
}

TEST(BeatReader, ReportsUnitAndColumns) {
    const auto recording = read("0.8,800\n1.55,750\n2.55,1000\n");

    EXPECT_EQ(guess(recording, "interval unit"), "milliseconds");
    EXPECT_EQ(guess(recording, "interval column"), "column 2");
    EXPECT_EQ(guess(recording, "time column"), "column 1");
}

TEST(BeatReader, TakesTheColumnsThatOptionsName) {
    ReadOptions options;
    options.rateColumn = "b";
    options.timeColumn = "t";

    EXPECT_EQ(intervals(read("a,b,t\n700,800,0.8\n700,750,1.55\n700,1000,2.55\n", options)), threeBeats);
}

TEST(BeatReader, KeepsTheCadenceBesideIntervals) {
    const auto recording = read("time,rr,cadence\n0.8,800,80\n1.55,750,81\n2.55,1000,82\n");

    EXPECT_EQ(intervals(recording), threeBeats);
    ASSERT_NE(recording->channel(ChannelKind::Cadence), nullptr);
    EXPECT_EQ(recording->channel(ChannelKind::Cadence)->values.size(), 3u);
}

TEST(BeatReader, LeavesTablesOfHeartRateToTheirReader) {
    const auto recording = read("time,hr\n1,72\n2,73\n");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->format, Format::Csv);
}

class NoBeats : public testing::TestWithParam<Case> {};

TEST_P(NoBeats, IsAFaultWithASentence) {
    const auto recording = read(GetParam().text);

    ASSERT_FALSE(recording);
    EXPECT_NE(recording.fault().message.find("expected"), std::string::npos) << recording.fault().message;
}

INSTANTIATE_TEST_SUITE_P(Texts, NoBeats,
                         testing::Values(Case{"rates", "72\n73\n75\n71\n"},
                                         Case{"ratesUnderAWord", "hr\n72\n73\n"},
                                         Case{"clockOnly", "1\n2\n3\n4\n"},
                                         Case{"tiny", "0.01\n0.02\n0.01\n"},
                                         Case{"power", "power\n300\n310\n305\n"},
                                         Case{"prose", "Once upon a time\nthere was a strap.\n"},
                                         Case{"evenTimes", "0.5\n1.0\n1.5\n2.0\n2.5\n"},
                                         Case{"emptySection", "[Params]\nVersion=106\n"},
                                         Case{"sectionWithoutNumbers", "[Params]\nInterval=238\n[HRData]\n"},
                                         Case{"unknownCode", "[Params]\nInterval=204\n[HRData]\n72\n73\n"}),
                         [](const auto& of) { return of.param.name; });

TEST(SectionReader, ReadsHeartRatesEveryFewSeconds) {
    const auto recording = read(
        "[Params]\nDate=20310302\nStartTime=09:00:00.0\nInterval=5\nSMode=00000000\n\n[HRData]\n72\n0\n74\n");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->format, Format::Hrm);
    EXPECT_EQ(recording->rows, 3u);
    ASSERT_EQ(recording->channel(ChannelKind::HeartRate)->values.size(), 2u);
    EXPECT_EQ(isoInstant(recording->channel(ChannelKind::HeartRate)->times[1].time_since_epoch()),
              "2031-03-02T09:00:10.000Z");
}

TEST(SectionReader, ReadsTheColumnsThatTheHeaderAnnounces) {
    // 36.0 km/h is 10 m/s.
    const auto recording = read("[Params]\nInterval=1\nSMode=11000000\n[HRData]\n72\t360\t80\n73\t360\t81\n");

    ASSERT_TRUE(recording);
    EXPECT_DOUBLE_EQ(recording->channel(ChannelKind::Speed)->values[0], 10.0);
    EXPECT_EQ(recording->channel(ChannelKind::Cadence)->values[1], 81.0);
}

TEST(SectionReader, CountsFromZeroWithoutADate) {
    const auto recording = read("[Params]\nInterval=238\n[HRData]\n800\n750\n1000\n");

    EXPECT_EQ(intervals(recording), threeBeats);
    EXPECT_EQ(recording->clock, ClockBasis::None);
}

TEST(SectionReader, TellsIntervalsByTheirSizeWithoutACode) {
    EXPECT_EQ(intervals(read("[Params]\nDate=x\n[HRData]\n800\n750\n1000\n")), threeBeats);
}

TEST(SectionReader, TellsOfALengthThatTheDataDoNotHave) {
    const auto recording = read("[Params]\nInterval=238\nLength=00:10:00.0\n[HRData]\n800\n750\n1000\n");

    ASSERT_TRUE(recording);
    EXPECT_TRUE(std::ranges::any_of(recording->warnings, [](const std::string& warning) {
        return warning.find("600.0 s") != std::string::npos;
    }));
}

// Intervals of whole milliseconds, drawn at random, are the same however they are written.
TEST(BeatReader, ReadsRandomIntervalsBackHoweverTheyAreWritten) {
    std::mt19937 random{20310302};
    for (int attempt = 0; attempt < 60; ++attempt) {
        std::string milliseconds, seconds = "RR [s]\n", timed = "time;rr\n", commas;
        std::string expected;
        int time = 0;
        const int level = 320 + 20 * attempt;
        for (int i = 0; i < 50; ++i) {
            const int interval = level + static_cast<int>(random() % 60);
            time += interval;
            milliseconds += fmt::format("{}\n", interval);
            seconds += fmt::format("{}.{:03}\n", interval / 1000, interval % 1000);
            commas += fmt::format("{},{:03}\n", interval / 1000, interval % 1000);
            timed += fmt::format("{}.{:03};{}\n", time / 1000, time % 1000, interval);
            expected += fmt::format("{}{}@{}.{:03}", i == 0 ? "" : " ", interval, time / 1000, time % 1000);
        }

        EXPECT_EQ(intervals(read(milliseconds)), expected);
        EXPECT_EQ(intervals(read(seconds)), expected);
        EXPECT_EQ(intervals(read(timed)), expected);
        EXPECT_EQ(intervals(read(commas)), expected);
    }
}

}  // namespace
}  // namespace beatwitness::recording
