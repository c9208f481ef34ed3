#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sys/resource.h>

#include <cmath>
#include <random>
#include <span>
#include <string_view>

#include "core/foundation/text.h"
#include "core/recording/xml_recording.h"
#include "core/recording/xml_walk.h"
#include "tests/support/reading.h"

namespace beatwitness::recording {
namespace {

using tests::bytesOf;
using tests::expectSound;
using tests::rates;
using tests::warnings;
using tests::withBytesFlipped;

Result<Recording> read(std::string_view text) {
    return readXml(bytesOf(text));
}

std::string point(int i) {
    return fmt::format(
        "<trkpt lat=\"0\" lon=\"0\"><ele>1.5</ele><time>2031-03-02T{:02}:{:02}:{:02}Z</time><extensions>"
        "<a:hr>{}</a:hr></extensions></trkpt>\n",
        9 + i / 3600, i / 60 % 60, i % 60, 100 + i % 80);
}

std::string points(int from, int to) {
    std::string text;
    for (int i = from; i < to; ++i)
        text += point(i);
    return text;
}

constexpr std::string_view head = "<gpx creator=\"Band\"><trk><trkseg>\n";
constexpr std::string_view tail = "</trkseg></trk></gpx>\n";

std::string document(int count) {
    return std::string{head} + points(0, count) + std::string{tail};
}

std::string tcxDocument() {
    std::string text = "<TrainingCenterDatabase><Activities><Activity>";
    for (int lap = 0; lap < 3; ++lap) {
        text += fmt::format(
            "<Lap StartTime=\"2031-03-02T09:{:02}:00Z\"><TotalTimeSeconds>60</TotalTimeSeconds>", lap);
        for (int track = 0; track < 2; ++track) {
            text += "<Track>";
            for (int i = 0; i < 3; ++i)
                text += fmt::format(
                    "<Trackpoint><Time>2031-03-02T09:{:02}:{:02}Z</Time><HeartRateBpm><Value>{}</Value>"
                    "</HeartRateBpm><Cadence>80</Cadence></Trackpoint>",
                    lap, track * 30 + i, 100 + i);
            text += "</Track>";
        }
        text += "</Lap>";
    }
    return text + "<Creator><Name>Strap</Name></Creator></Activity></Activities></TrainingCenterDatabase>";
}

/// Points whose end tag stands within the first `length` bytes.
std::size_t wholePoints(std::string_view text, std::string_view endTag, std::size_t length) {
    std::size_t count = 0;
    const std::string_view part = text.substr(0, length);
    for (auto at = part.find(endTag); at != std::string_view::npos; at = part.find(endTag, at + 1))
        ++count;
    return count;
}

TEST(TruncatedXml, YieldsEveryGpxPointThatStandsWholeBeforeTheCut) {
    const std::string whole = document(5);

    for (std::size_t length = head.size(); length < whole.size(); ++length) {
        const auto recording = read(std::string_view{whole}.substr(0, length));
        ASSERT_EQ(rates(recording), wholePoints(whole, "</trkpt>", length))
            << length << ": " << warnings(recording);
        if (length + 2 < whole.size()) {
            ASSERT_NE(warnings(recording).find("damaged at byte"), std::string::npos) << length;
        }
    }
}

TEST(TruncatedXml, YieldsEveryTcxPointThatStandsWholeBeforeTheCut) {
    const std::string whole = tcxDocument();

    for (std::size_t length = 0; length < whole.size(); ++length) {
        const auto recording = read(std::string_view{whole}.substr(0, length));
        expectSound(recording);
        ASSERT_EQ(rates(recording), wholePoints(whole, "</Trackpoint>", length)) << length;
    }
}

TEST(TruncatedXml, NamesTheByteWhereItEnds) {
    const std::string whole = document(5);

    const auto recording = read(std::string_view{whole}.substr(0, 300));

    EXPECT_NE(warnings(recording).find("damaged at byte 300: the end of the file"), std::string::npos)
        << warnings(recording);
}

TEST(DamagedXml, ReadsOrFaultsWithAnyBytesFlipped) {
    std::mt19937 random{20310302};
    const std::string documents[] = {document(30), tcxDocument()};

    for (int attempt = 0; attempt < 4000; ++attempt) {
        const std::string damaged = withBytesFlipped(documents[attempt % 2], 1 + attempt % 8, random);
        expectSound(read(damaged));
    }
}

TEST(DamagedXml, KeepsThePointsBeforeAnEndTagThatFitsNone) {
    const std::string before = std::string{head} + points(0, 3);

    const auto recording = read(before + "</oops>" + points(3, 6000) + std::string{tail});

    EXPECT_EQ(rates(recording), 3u);
    EXPECT_NE(warnings(recording).find(fmt::format("damaged at byte {}", before.size())), std::string::npos)
        << warnings(recording);
}

TEST(DamagedXml, KeepsThePointsAroundARunOfZeroBytes) {
    const std::string before = std::string{head} + points(0, 3);

    const auto recording = read(before + std::string(5000, '\0') + points(3, 6) + std::string{tail});

    EXPECT_EQ(rates(recording), 6u);
    EXPECT_NE(warnings(recording).find(
                  fmt::format("5000 bytes are 0 and were read as blanks (first at byte {})", before.size())),
              std::string::npos)
        << warnings(recording);
}

/// Writes down what it is told of.
class EventLog final : public xml::XmlSink {
public:
    bool enter(std::string_view name, pugi::xml_node, std::size_t byte) override {
        told += fmt::format("+{}@{}", name, byte);
        return true;
    }
    void leave(std::string_view name) override { told += fmt::format("-{}", name); }
    void take(std::string_view name, pugi::xml_node, std::size_t byte) override {
        told += fmt::format("={}@{}", name, byte);
    }

    std::string told;
};

std::string toldInBlocksOf(std::size_t blockSize, std::string_view text) {
    EventLog log;
    const auto walk = xml::walkXml({text}, log, {}, blockSize);
    return log.told + (walk.damage ? walk.damage->what : "");
}

TEST(LongXml, ReadsTheSameInBlocksOfAnySize) {
    const std::string documents[] = {tcxDocument(), document(4) + "<!-- end -->",
                                     std::string{head} + "<!-- a comment of some length -->" + points(0, 2)};

    for (const std::string& text : documents)
        for (std::size_t size = 1; size < 600; ++size)
            ASSERT_EQ(toldInBlocksOf(size, text), toldInBlocksOf(text.size(), text)) << size;
}

// 20 000 points are about 2.3 MB: nine blocks, cut at arbitrary places.
TEST(LongXml, LosesNoPointBetweenItsBlocks) {
    const auto recording = read(document(20'000));

    ASSERT_EQ(rates(recording), 20'000u);
    const Channel& channel = *recording->channel(ChannelKind::HeartRate);
    for (std::size_t i = 0; i < 20'000; ++i)
        ASSERT_EQ(channel.values[i], 100.0 + static_cast<double>(i % 80));
    EXPECT_EQ(warnings(recording), "");
}

TEST(LongXml, KnowsLapsAndPausesAcrossItsBlocks) {
    std::string text = "<TrainingCenterDatabase><Activities><Activity>";
    for (int lap = 0; lap < 4; ++lap) {
        text += fmt::format(
            "<Lap StartTime=\"2031-03-02T{:02}:00:00Z\"><TotalTimeSeconds>3600</TotalTimeSeconds>", 9 + lap);
        for (int half = 0; half < 2; ++half) {
            text += "<Track>";
            for (int i = 0; i < 1700; ++i)
                text += fmt::format(
                    "<Trackpoint><Time>2031-03-02T{:02}:{:02}:{:02}Z</Time><HeartRateBpm><Value>120"
                    "</Value></HeartRateBpm></Trackpoint>",
                    9 + lap, half * 30 + i / 60, i % 60);
            text += "</Track>";
        }
        text += "</Lap>";
    }
    text += "</Activity></Activities></TrainingCenterDatabase>";

    const auto recording = read(text);

    EXPECT_EQ(rates(recording), 13'600u);
    EXPECT_EQ(recording->laps.size(), 4u);
    EXPECT_EQ(recording->pauses.size(), 4u);
    EXPECT_EQ(warnings(recording), "");
}

TEST(LongXml, StepsOverACommentOfTenMegabytes) {
    const auto recording = read(std::string{head} + points(0, 3) + "<!--" + std::string(10'000'000, '<') +
                                "-->" + points(3, 6) + std::string{tail});

    EXPECT_EQ(rates(recording), 6u);
}

TEST(LongXml, StepsOverAnAttributeOfTenMegabytes) {
    const auto recording =
        read(std::string{head} + points(0, 3) + "<trkpt name=\"" + std::string(10'000'000, 'x') +
             "\"><time>2031-03-02T09:30:00Z</time><hr>90</hr></trkpt>" + std::string{tail});

    EXPECT_EQ(rates(recording), 4u);
}

TEST(LongXml, StopsWhenAsked) {
    std::stop_source source;
    const RunControl run{source.get_token(), [&source](double) { source.request_stop(); }};
    const std::string text = document(20'000);

    const auto recording = readXml(bytesOf(text), {}, run);

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::Cancelled);
}

TEST(HostileXml, ExpandsNoEntities) {
    std::string text = "<!DOCTYPE gpx [<!ENTITY a0 \"lol\">";
    for (int i = 1; i < 30; ++i)
        text += fmt::format("<!ENTITY a{0} \"&a{1};&a{1};&a{1};&a{1};&a{1};&a{1};&a{1};&a{1};\">", i, i - 1);
    text += "]><gpx creator=\"&a29;\"><trk><name>&a29;</name><trkseg>" + points(0, 3) + std::string{tail};

    const auto recording = read(text);

    EXPECT_EQ(rates(recording), 3u);
    EXPECT_EQ(recording->device, "&a29;");
}

TEST(HostileXml, KeepsWhatStandsBeforeAHundredThousandLevels) {
    std::string deep;
    for (int i = 0; i < 100'000; ++i)
        deep += "<a>";

    const auto recording = read(std::string{head} + points(0, 3) + deep);

    EXPECT_EQ(rates(recording), 3u);
    EXPECT_NE(warnings(recording).find("more than 1000 elements"), std::string::npos) << warnings(recording);
}

TEST(HostileXml, FindsTheRateUnderAHundredThousandLevelsOfAPoint) {
    std::string open, close;
    for (int i = 0; i < 100'000; ++i) {
        open += "<a>";
        close += "</a>";
    }

    const auto recording = read(std::string{head} + "<trkpt><time>2031-03-02T09:00:00Z</time>" + open +
                                "<hr>71</hr>" + close + "</trkpt>" + std::string{tail});

    EXPECT_EQ(rates(recording), 1u);
}

/// The highest memory that this process ever took, in bytes.
std::size_t peakMemory() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<std::size_t>(usage.ru_maxrss) * 1024;
}

#if !defined(__SANITIZE_ADDRESS__)
class XmlMemory : public testing::TestWithParam<const char*> {};

// A tree of these would take 12 to 16 times the file.
TEST_P(XmlMemory, StaysInProportionToTheFile) {
    std::string text{head};
    const std::string_view part{GetParam()};
    while (text.size() < 60'000'000)
        text += part;
    const std::size_t before = peakMemory();

    expectSound(read(text));

    EXPECT_LE(peakMemory() - before, 3 * text.size() + (std::size_t{64} << 20));
}

INSTANTIATE_TEST_SUITE_P(Elements, XmlMemory,
                         testing::Values("<a/>", "<trkpt>", "<a b=''/>", "<a>1</a>", "<trkpt><a/></trkpt>",
                                         "<trkpt><time>2031-03-02T09:00:00Z</time><hr>71</hr></trkpt>"));
#endif

TEST(HostileXml, RefusesAPointOfMillionsOfElementsButKeepsThoseBefore) {
    std::string text = std::string{head} + points(0, 3) + "<trkpt>";
    for (int i = 0; i < 5'000'000; ++i)
        text += "<a/>";

    const auto recording = read(text + "</trkpt>" + std::string{tail});

    EXPECT_EQ(rates(recording), 3u);
    EXPECT_NE(warnings(recording).find("too many parts"), std::string::npos) << warnings(recording);
}

}  // namespace
}  // namespace beatwitness::recording
