#include <gtest/gtest.h>

#include <span>
#include <string_view>

#include "core/foundation/text.h"
#include "core/recording/text_recording.h"

namespace beatwitness::recording {
namespace {

Result<Recording> read(std::string_view text, const ReadOptions& options = {}) {
    return readText(std::as_bytes(std::span{text.data(), text.size()}), options);
}

/// "kind value@time …" of a channel; times in seconds from the file's zero, or as instants.
std::string shown(const Result<Recording>& recording, ChannelKind kind = ChannelKind::HeartRate) {
    if (!recording) return sentence(recording.fault());
    const Channel* channel = recording->channel(kind);
    if (channel == nullptr) return "none";
    std::string text;
    for (std::size_t i = 0; i < channel->values.size(); ++i) {
        const Micros time = channel->times[i].time_since_epoch();
        const std::string at =
            recording->clock == ClockBasis::None ? std::to_string(time.count() / 1000) : isoInstant(time);
        text += (i == 0 ? "" : " ") + std::to_string(static_cast<int>(channel->values[i] * 10)) + "@" + at;
    }
    return text;
}

std::string guess(const Result<Recording>& recording, std::string_view what) {
    if (recording)
        for (const auto& [key, value] : recording->guessed)
            if (key == what) return value;
    return "none";
}

std::string warnings(const Result<Recording>& recording) {
    std::string all;
    if (recording)
        for (const auto& warning : recording->warnings)
            all += warning + "\n";
    return all;
}

struct Case {
    const char* name;
    const char* text;
    const char* expected;  ///< worked out by hand: tenths of bpm @ time
};

void PrintTo(const Case& c, std::ostream* out) {
    *out << c.name;
}

class TextLayout : public testing::TestWithParam<Case> {};

TEST_P(TextLayout, IsReadAsAPersonWouldReadIt) {
    const auto recording = read(GetParam().text);

    EXPECT_EQ(shown(recording), GetParam().expected) << warnings(recording);
}

constexpr const char* twoRates = "720@2031-03-02T09:00:00.000Z 735@2031-03-02T09:00:01.500Z";

INSTANTIATE_TEST_SUITE_P(
    Dialects, TextLayout,
    testing::Values(
        Case{"comma", "time,hr\n2031-03-02T09:00:00Z,72\n2031-03-02T09:00:01.5Z,73.5\n", twoRates},
        Case{"semicolonAndDecimalComma", "time;hr\n2031-03-02T09:00:00Z;72,0\n2031-03-02T09:00:01,5Z;73,5\n",
             twoRates},
        Case{"quotedDecimalComma",
             "time,hr\n\"2031-03-02T09:00:00Z\",\"72,0\"\n\"2031-03-02T09:00:01,5Z\",\"73,5\"\n", twoRates},
        Case{"tab", "time\thr\n2031-03-02T09:00:00Z\t72\n2031-03-02T09:00:01.5Z\t73.5\n", twoRates},
        Case{"bar", "time|hr\n2031-03-02T09:00:00Z|72\n2031-03-02T09:00:01.5Z|73.5\n", twoRates},
        Case{"blanks", "time   hr\n2031-03-02T09:00:00Z   72\n2031-03-02T09:00:01.5Z  73.5\n", twoRates},
        Case{"blanksInsideTimes", "time hr\n2031-03-02 09:00:00Z 72\n2031-03-02 09:00:01.5Z 73.5\n",
             twoRates},
        Case{"carriageReturns", "time,hr\r2031-03-02T09:00:00Z,72\r2031-03-02T09:00:01.5Z,73.5\r", twoRates},
        Case{"windowsLineEnds", "time,hr\r\n2031-03-02T09:00:00Z,72\r\n2031-03-02T09:00:01.5Z,73.5\r\n",
             twoRates},
        Case{"byteOrderMark", "\xEF\xBB\xBFtime,hr\n2031-03-02T09:00:00Z,72\n2031-03-02T09:00:01.5Z,73.5",
             twoRates},
        Case{"notesOverLines",
             "time,note,hr\n2031-03-02T09:00:00Z,\"said \"\"go\"\",\nthen "
             "went\",72\n2031-03-02T09:00:01.5Z,,73.5\n",
             twoRates},
        Case{"preamble",
             "Device: strap\nMax HR,190\n\nExported by "
             "hand\ntime,hr\n2031-03-02T09:00:00Z,72\n2031-03-02T09:00:01.5Z,73.5\n",
             twoRates},
        Case{"commentedHeader", "# time,hr\n2031-03-02T09:00:00Z,72\n2031-03-02T09:00:01.5Z,73.5\n",
             twoRates},
        Case{"unitLine", "time;hr\n[s];[bpm]\n2031-03-02T09:00:00Z;72\n2031-03-02T09:00:01.5Z;73.5\n",
             twoRates},
        Case{"unnamedRowNumbers", "time,hr\n1,2031-03-02T09:00:00Z,72\n2,2031-03-02T09:00:01.5Z,73.5\n",
             twoRates},
        Case{"noHeader", "2031-03-02T09:00:00Z,72\n2031-03-02T09:00:01.5Z,73.5\n", twoRates}));

INSTANTIATE_TEST_SUITE_P(
    Times, TextLayout,
    testing::Values(
        // date -u -d 2031-03-02T09:00:00Z +%s gives 1930208400.
        Case{"epochSeconds", "timestamp,hr\n1930208400,72\n1930208401.5,73.5\n", twoRates},
        Case{"epochMillis", "timestamp,hr\n1930208400000,72\n1930208401500,73.5\n", twoRates},
        Case{"epochMicros", "timestamp,hr\n1930208400000000,72\n1930208401500000,73.5\n", twoRates},
        Case{"epochNanos", "timestamp,hr\n1930208400000000000,72\n1930208401500000000,73.5\n", twoRates},
        Case{"offset", "time,hr\n2031-03-02T11:00:00+02:00,72\n2031-03-02T11:00:01.5+0200,73.5\n", twoRates},
        Case{"dateAndClockColumns", "date,time,hr\n2031-03-02,09:00:00,72\n2031-03-02,09:00:01.5,73.5\n",
             twoRates},
        Case{"dayFirst", "time,hr\n02.03.2031 09:00:00,72\n02.03.2031 09:00:01.5,73.5\n", twoRates},
        Case{"monthName", "time;hr\n2 Mar 2031 09:00:00;72\n2 Mar 2031 09:00:01.5;73.5\n", twoRates},
        Case{"meridiem", "time,hr\n2031-03-02 9:00:00 AM,72\n2031-03-02 9:00:01.5 AM,73.5\n", twoRates},
        Case{"startOfElapsed", "# start: 2031-03-02T09:00:00Z\nelapsed,hr\n0,72\n1.5,73.5\n", twoRates},
        Case{"elapsed", "elapsed,hr\n0,72\n1.5,73.5\n", "720@0 735@1500"},
        Case{"elapsedMillis", "elapsed_ms,hr\n0,72\n1500,73.5\n", "720@0 735@1500"},
        Case{"elapsedMinutes", "Time (min);HR\n0;72\n0,5;73,5\n", "720@0 735@30000"},
        Case{"smallNumbers", "timestamp,hr\n17217869,72\n17217870,73.5\n", "720@17217869000 735@17217870000"},
        Case{"elapsedClock", "time,hr\n0:59:59,72\n1:00:00.5,73.5\n", "720@3599000 735@3600500"},
        Case{"minutesAndSeconds", "time,hr\n00:01,72\n75:10,73.5\n", "720@1000 735@4510000"},
        Case{"pastMidnight", "time,hr\n23:59:59,72\n00:00:01,73\n", "720@86399000 730@86401000"},
        Case{"decidedByTheWholeColumn", "time,hr\n03/02/2031 9:00,72\n03/13/2031 9:00,73.5\n",
             "720@2031-03-02T09:00:00.000Z 735@2031-03-13T09:00:00.000Z"},
        Case{"decidedByMidnight", "time,hr\n03/02/2031 23:59,72\n03/03/2031 00:01,73.5\n",
             "720@2031-03-02T23:59:00.000Z 735@2031-03-03T00:01:00.000Z"}));

INSTANTIATE_TEST_SUITE_P(
    Words, TextLayout,
    testing::Values(
        Case{"bracketed", "elapsed, Heart Rate [bpm]\n1,72\n2,73\n", "720@1000 730@2000"},
        Case{"count", "SECS,\"hr (count/min)\"\n1,72\n2,73\n", "720@1000 730@2000"},
        Case{"camel", "elapsedTime,heartRateBpm\n1,72\n2,73\n", "720@1000 730@2000"},
        Case{"device", "seconds,Strap HR\n1,72\n2,73\n", "720@1000 730@2000"},
        Case{"pulse", "time,Pulse\n1,72\n2,73\n", "720@1000 730@2000"},
        Case{"hoursOnlyInBrackets", "t [s],hr [1/min]\n1,72\n2,73\n", "720@1000 730@2000"},
        Case{"notDerived", "time,HRV,max hr,HR zone,avg_hr,hr\n1,50,190,2,80,72\n2,51,190,2,80,73\n",
             "720@1000 730@2000"},
        Case{"missing", "time,hr\n1,0\n2,255\n3,NA\n4,\n5,null\n6,--\n7,72\n", "720@7000"},
        Case{"outOfRangeStays", "time,hr\n1,72\n2,9999\n", "720@1000 99990@2000"},
        Case{"fullestOfSeveral", "time,wrist hr,strap hr\n1,60,72\n2,,73\n", "720@1000 730@2000"}));

// Layouts of which a person sees at once what they mean.
INSTANTIATE_TEST_SUITE_P(
    Habits, TextLayout,
    testing::Values(
        Case{"factsAboveTheTable",
             "Name,Date,Start time,Average heart rate (bpm)\nA,02.03.2031,09:00:00,120\nSample "
             "rate,Time,HR (bpm)\n1,00:00:00,72\n1,00:00:01.5,73.5\n",
             twoRates},
        Case{"totalBelow", "time,hr\n2031-03-02T09:00:00Z,72\n2031-03-02T09:00:01.5Z,73.5\nTotal,72.7\n",
             twoRates},
        Case{"headerInTheMiddle", "time,hr\n2031-03-02T09:00:00Z,72\ntime,hr\n2031-03-02T09:00:01.5Z,73.5\n",
             twoRates},
        Case{"remarksInTheMiddle",
             "time,hr\n2031-03-02T09:00:00Z,72\n# paused\n2031-03-02T09:00:01.5Z,73.5\n", twoRates},
        Case{"ruledTable",
             "| time | hr |\n|------|----|\n| 2031-03-02T09:00:00Z | 72 |\n| 2031-03-02T09:00:01.5Z | 73.5 "
             "|\n",
             twoRates},
        Case{"separatorLine", "sep=;\ntime;hr\n2031-03-02T09:00:00Z;72\n2031-03-02T09:00:01.5Z;73.5\n",
             twoRates},
        Case{"unitsInTheCells", "time,hr\n0 min,72 bpm\n0.5 min,73.5 bpm\n", "720@0 735@30000"},
        Case{"unbreakableBlank",
             "time,hr\n0,72\xC2\xA0"
             "bpm\n1.5,73.5\xE2\x80\xAF"
             "bpm\n",
             "720@0 735@1500"},
        Case{"quotedThousands", "time,hr,power\n0,72,\"1,200\"\n1.5,73.5,\"1,201\"\n", "720@0 735@1500"},
        Case{"offsetBehindABlank",
             "time,hr\n2031-03-02 10:00:00 +0100,72\n2031-03-02 10:00:01.5 +0100,73.5\n", twoRates},
        Case{"yearLast", "time;hr\nSun Mar 02 09:00:00 UTC 2031;72\nSun Mar 02 09:00:01.5 UTC 2031;73.5\n",
             twoRates},
        Case{"thousandthsBehindAColon", "elapsed,hr\n0:00:00:000,72\n0:00:01:500,73.5\n", "720@0 735@1500"},
        // A spreadsheet's day 47909 is 2031-03-02; 9:00 is 0.375 of it and a second 1/86400.
        Case{"serialDays", "Date,HR\n47909.37500000,72\n47909.37501736,73.5\n", twoRates},
        Case{"dateAndPace", "2031-03-02 09:00:00Z\n2\n72\n72.5\n",
             "720@2031-03-02T09:00:00.000Z 725@2031-03-02T09:00:00.500Z"},
        Case{"longFormat",
             "time;kind;value\n2031-03-02T09:00:00Z;HEART_RATE;72\n2031-03-02T09:00:01Z;STEPS;9\n2031-03-"
             "02T09:"
             "00:01.5Z;HEART_RATE;73.5\n",
             twoRates},
        Case{"twentyFourHoursOfTwelve",
             "date,time,hr\n2031-03-02,12:00:00 AM,72\n2031-03-02,12:00:01 PM,73.5\n",
             "720@2031-03-02T00:00:00.000Z 735@2031-03-02T12:00:01.000Z"},
        Case{"onlyTheUnitSaysIt", "time,Strap [bpm]\n0,72\n1.5,73.5\n", "720@0 735@1500"},
        Case{"otherLanguages",
             "Hora;Frecuencia card\xC3\xAD"
             "aca (lpm)\n00:00:00;72\n00:00:01,5;73,5\n",
             "720@0 735@1500"},
        Case{"notTheMeanNorTheGreatest", "time,avg hr,max bpm,hr [bpm]\n0,70,190,72\n1.5,70,190,73.5\n",
             "720@0 735@1500"}));

TEST(TextReader, ReadsQuotedThousandsBetweenCommas) {
    const auto recording = read("time,hr,power\n0,72,\"1,200\"\n1,73,\"1,201\"\n");

    EXPECT_EQ(shown(recording, ChannelKind::Power), "12000@0 12010@1000");
}

TEST(TextReader, SaysThatSerialDaysNameNoZone) {
    const auto recording = read("Date,HR\n47909.37500000,72\n47909.37501736,73.5\n");

    EXPECT_EQ(guess(recording, "time kind"), "serial days without a zone");
    EXPECT_EQ(guess(recording, "zone"), "unknown, laid on UTC");
}

TEST(TextReader, CountsRowsOfMissingValues) {
    const auto recording = read("time,hr\n1,0\n2,NA\n3,\n4,72\nlater,73\n");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->rows, 4u);
    EXPECT_NE(warnings(recording).find("1 row without a time"), std::string::npos) << warnings(recording);
    EXPECT_NE(warnings(recording).find("line 6"), std::string::npos) << warnings(recording);
}

TEST(TextReader, ReadsUtf16OfBothByteOrders) {
    const std::string_view plain = "time,hr\n1,72\n";
    std::string little = "\xFF\xFE", big = "\xFE\xFF";
    for (const char c : plain)
        little += std::string{c, '\0'}, big += std::string{'\0', c};

    EXPECT_EQ(shown(read(little)), "720@1000");
    EXPECT_EQ(shown(read(big)), "720@1000");
}

TEST(TextReader, PrefersTheFinestInstantAmongTimeColumns) {
    const auto recording =
        read("time,timestamp,iso,elapsed,hr\n9:00:00 AM,1930208400.738,2031-03-02T09:00:00-0000,0,72\n");

    EXPECT_EQ(shown(recording), "720@2031-03-02T09:00:00.738Z");
    EXPECT_EQ(guess(recording, "time column"), "column 2 \"timestamp\"");
}

TEST(TextReader, WarnsOfTimesWithoutAZone) {
    const auto recording = read("time,hr\n2031-03-02 09:00:00,72\n");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->clock, ClockBasis::ZoneUnknown);
    EXPECT_NE(warnings(recording).find("no zone"), std::string::npos);
}

TEST(TextReader, LaysTimesInTheZoneOfTheUser) {
    ReadOptions options;
    options.zone = "+02:00";

    const auto recording = read("time,hr\n2031-03-02 09:00:00,72\n", options);

    EXPECT_EQ(shown(recording), "720@2031-03-02T07:00:00.000Z");
    EXPECT_EQ(recording->clock, ClockBasis::Utc);
}

// The clocks of that zone are at +01:00 in winter and +02:00 in summer.
TEST(TextReader, KnowsTheSummerTimeOfANamedZone) {
    ReadOptions options;
    options.zone = "Europe/Paris";

    const auto recording = read("time,hr\n2030-07-02 09:00:00,72\n2031-03-02 09:00:00,73\n", options);

    EXPECT_EQ(shown(recording), "720@2030-07-02T07:00:00.000Z 730@2031-03-02T08:00:00.000Z");
}

TEST(TextReader, RefusesAZoneThatIsNone) {
    ReadOptions options;
    options.zone = "Nowhere/Else";

    const auto recording = read("time,hr\n2031-03-02 09:00:00,72\n", options);

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::WrongUsage);
}

TEST(TextReader, WarnsWhereDayAndMonthStayOpen) {
    const auto recording = read("time,hr\n03/02/2031 09:00:00,72\n03/02/2031 09:00:01,73\n");

    EXPECT_EQ(shown(recording), "720@2031-02-03T09:00:00.000Z 730@2031-02-03T09:00:01.000Z");
    EXPECT_NE(warnings(recording).find("day first"), std::string::npos);
}

TEST(TextReader, TakesTheColumnsThatTheUserNames) {
    ReadOptions options;
    options.timeColumn = "ELAPSED";
    options.rateColumn = "3";

    const auto recording = read("timestamp,hr,x,elapsed\n1930208400,72,99,5\n", options);

    EXPECT_EQ(shown(recording), "990@5000");
}

TEST(TextReader, NamesTheColumnsWhereAnOptionNamesNone) {
    ReadOptions options;
    options.rateColumn = "rate";

    const auto recording = read("time,hr\n1,72\n", options);

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::WrongUsage);
    EXPECT_NE(recording.fault().message.find("column 2 \"hr\""), std::string::npos)
        << recording.fault().message;
}

TEST(TextReader, SaysWhatItGuessed) {
    const auto recording = read("start;Uhrzeit;Puls\n02.03.2031;09:00:00;72,5\n");

    EXPECT_EQ(guess(recording, "separator"), "semicolon");
    EXPECT_EQ(guess(recording, "decimal mark"), "comma");
    EXPECT_EQ(guess(recording, "rate column"), "column 3 \"Puls\"");
}

TEST(TextReader, BringsSpeedToMetresASecond) {
    const auto recording =
        read("time,hr,Speed (km/h),cadence,power (watt),Altitude [ft]\n1,72,36,80,200,1000\n");

    EXPECT_EQ(shown(recording, ChannelKind::Speed), "100@1000");
    EXPECT_EQ(shown(recording, ChannelKind::Altitude), "3048@1000");
    EXPECT_EQ(shown(recording, ChannelKind::Cadence), "800@1000");
    EXPECT_EQ(shown(recording, ChannelKind::Power), "2000@1000");
}

TEST(TextReader, MakesLapsOfAChangingLapColumn) {
    const auto recording = read("time,hr,lap\n1,72,1\n2,73,1\n3,74,2\n4,75,2\n");

    ASSERT_TRUE(recording);
    ASSERT_EQ(recording->laps.size(), 2u);
    EXPECT_EQ(recording->laps[1].label, "lap 2");
    EXPECT_EQ(recording->laps[1].span.begin.time_since_epoch(), std::chrono::seconds{3});
    EXPECT_EQ(recording->laps[1].span.end.time_since_epoch(), std::chrono::seconds{4});
}

TEST(TextReader, ReadsOneMeasurementALine) {
    const auto recording = read(
        "time;type;value\n2031-03-02T09:00:00Z;STEPS;5\n2031-03-02T09:00:00Z;HEART_RATE;72\n"
        "2031-03-02T09:00:01Z;CADENCE;80\n2031-03-02T09:00:01.5Z;HEART_RATE;73.5\n");

    EXPECT_EQ(shown(recording), twoRates);
    EXPECT_EQ(recording->rows, 2u);
}

TEST(TextReader, ReadsIntervalsWhereTheHeaderSaysSo) {
    const auto recording = read("rri;time\n790;1\n815;2\n");

    EXPECT_EQ(shown(recording, ChannelKind::BeatInterval), "7900@1000 8150@2000");
    EXPECT_EQ(recording->format, Format::Rr);
}

class TextRefusal : public testing::TestWithParam<Case> {};

TEST_P(TextRefusal, IsAFaultWithASentence) {
    const auto recording = read(GetParam().text);

    ASSERT_FALSE(recording);
    EXPECT_NE(sentence(recording.fault()).find(GetParam().expected), std::string::npos)
        << sentence(recording.fault());
}

INSTANTIATE_TEST_SUITE_P(Texts, TextRefusal,
                         testing::Values(Case{"json", "{\"hr\": [1, 2]}", "JSON"},
                                         Case{"list", "[{\"hr\": 1}]", "JSON"},
                                         Case{"xml", "<?xml version=\"1.0\"?><a/>", "XML"},
                                         Case{"sections", "[Params]\nVersion=106\n", "section"},
                                         Case{"prose",
                                              "Once upon a time, there was a strap.\nIt read well, and it "
                                              "lasted.\nThe end came, sadly, soon.\n",
                                              "line 1"},
                                         Case{"intervalsOnly", "1114\n1113\n1066\n", "expected"},
                                         Case{"noTimes", "hr,power\n72,200\n73,210\n", "time"},
                                         Case{"blankOnly", " \n\n \n", "blanks"}));

}  // namespace
}  // namespace beatwitness::recording
