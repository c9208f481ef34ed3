#include <fmt/format.h>
#include <gtest/gtest.h>

#include <span>
#include <string_view>

#include "core/foundation/text.h"
#include "core/recording/xml_recording.h"

namespace beatwitness::recording {
namespace {

Result<Recording> read(std::string_view text, const ReadOptions& options = {}) {
    return readXml(std::as_bytes(std::span{text.data(), text.size()}), options);
}

/// "value@time …" of a channel.
std::string shown(const Result<Recording>& recording, ChannelKind kind = ChannelKind::HeartRate) {
    if (!recording) return sentence(recording.fault());
    const Channel* channel = recording->channel(kind);
    if (channel == nullptr) return "none";
    std::string text;
    for (std::size_t i = 0; i < channel->values.size(); ++i)
        text += fmt::format("{}{}@{}", i == 0 ? "" : " ", channel->values[i],
                            isoInstant(channel->times[i].time_since_epoch()).substr(11));
    return text;
}

std::string shown(const Span<RecordingClock>& span) {
    return isoInstant(span.begin.time_since_epoch()).substr(11) + "/" +
           isoInstant(span.end.time_since_epoch()).substr(11);
}

std::string lapsOf(const Result<Recording>& recording) {
    if (!recording) return sentence(recording.fault());
    std::string text;
    for (const Lap& lap : recording->laps)
        text += lap.label + " " + shown(lap.span) + ";";
    return text;
}

std::string pausesOf(const Result<Recording>& recording) {
    if (!recording) return sentence(recording.fault());
    std::string text;
    for (const auto& pause : recording->pauses)
        text += shown(pause) + ";";
    return text;
}

std::string warnings(const Result<Recording>& recording) {
    std::string all;
    if (recording)
        for (const auto& warning : recording->warnings)
            all += warning + "\n";
    return all;
}

std::string tcxPoint(std::string_view clock, std::string_view inside) {
    return fmt::format("<Trackpoint><Time>2031-03-02T{}</Time>{}</Trackpoint>", clock, inside);
}
std::string rate(int value) {
    return fmt::format("<HeartRateBpm><Value>{}</Value></HeartRateBpm>", value);
}
std::string tcx(std::string_view laps) {
    return fmt::format(
        "<?xml version=\"1.0\"?><TrainingCenterDatabase><Activities><Activity Sport=\"Other\">{}</Activity>"
        "</Activities></TrainingCenterDatabase>",
        laps);
}
std::string gpxPoint(std::string_view clock, std::string_view inside) {
    return fmt::format("<trkpt lat=\"0\" lon=\"0\"><time>2031-03-02T{}</time>{}</trkpt>", clock, inside);
}
std::string gpx(std::string_view tracks) {
    return fmt::format("<gpx version=\"1.1\" creator=\"Band\">{}</gpx>", tracks);
}
std::string oneTrack(std::string_view points) {
    return gpx(fmt::format("<trk><trkseg>{}</trkseg></trk>", points));
}

struct Case {
    const char* name;
    std::string text;
    const char* expected;  ///< by hand
    ChannelKind kind = ChannelKind::HeartRate;
};

void PrintTo(const Case& c, std::ostream* out) {
    *out << c.name;
}

class XmlLayout : public testing::TestWithParam<Case> {};

TEST_P(XmlLayout, IsReadByLocalNames) {
    EXPECT_EQ(shown(read(GetParam().text), GetParam().kind), GetParam().expected);
}

const Case layouts[] = {
    {"TcxWithoutNamespace", tcx("<Lap><Track>" + tcxPoint("09:00:00Z", rate(71)) + "</Track></Lap>"),
     "71@09:00:00.000Z"},
    {"TcxWithPrefixes",
     "<t:TrainingCenterDatabase xmlns:t='urn:t'><t:Activities><t:Activity><t:Lap><t:Track><t:Trackpoint>"
     "<t:Time>2031-03-02T09:00:00Z</t:Time><t:HeartRateBpm><t:Value>71</t:Value></t:HeartRateBpm>"
     "</t:Trackpoint></t:Track></t:Lap></t:Activity></t:Activities></t:TrainingCenterDatabase>",
     "71@09:00:00.000Z"},
    {"TcxRateWithoutValueElement",
     tcx("<Lap><Track>" + tcxPoint("09:00:00Z", "<HeartRateBpm>71</HeartRateBpm>") + "</Track></Lap>"),
     "71@09:00:00.000Z"},
    {"TcxSeveralActivities",
     "<TrainingCenterDatabase><Activities><Activity><Lap><Track>" + tcxPoint("09:00:00Z", rate(71)) +
         "</Track></Lap></Activity><Activity><Lap><Track>" + tcxPoint("11:00:00Z", rate(72)) +
         "</Track></Lap></Activity></Activities></TrainingCenterDatabase>",
     "71@09:00:00.000Z 72@11:00:00.000Z"},
    {"TcxRunCadenceInExtensions",
     tcx("<Lap><Track>" +
         tcxPoint("09:00:00Z", "<Extensions><x:TPX><x:RunCadence>81</x:RunCadence></x:TPX></Extensions>") +
         "</Track></Lap>"),
     "81@09:00:00.000Z", ChannelKind::Cadence},
    {"TcxAverageRatesOfLapsAreNoSamples",
     tcx("<Lap><AverageHeartRateBpm><Value>99</Value></AverageHeartRateBpm><Track>" +
         tcxPoint("09:00:00Z", rate(71)) + "</Track></Lap>"),
     "71@09:00:00.000Z"},
    {"TcxAltitude",
     tcx("<Lap><Track>" + tcxPoint("09:00:00Z", "<AltitudeMeters>-3.5</AltitudeMeters>") + "</Track></Lap>"),
     "-3.5@09:00:00.000Z", ChannelKind::Altitude},
    {"TcxDistance",
     tcx("<Lap><DistanceMeters>900</DistanceMeters><Track>" +
         tcxPoint("09:00:00Z", "<DistanceMeters>12.25</DistanceMeters>") + "</Track></Lap>"),
     "12.25@09:00:00.000Z", ChannelKind::Distance},
    {"TcxPower",
     tcx("<Lap><Track>" + tcxPoint("09:00:00Z", "<Extensions><TPX><Watts>210</Watts></TPX></Extensions>") +
         "</Track></Lap>"),
     "210@09:00:00.000Z", ChannelKind::Power},
    {"GpxRateInAnExtension",
     oneTrack(gpxPoint("09:00:00Z", "<extensions><a:TPE><a:hr>71</a:hr></a:TPE></extensions>")),
     "71@09:00:00.000Z"},
    {"GpxRateDeepInExtensions",
     oneTrack(
         gpxPoint("09:00:00Z", "<extensions><a><b><c:heart_rate>71</c:heart_rate></b></a></extensions>")),
     "71@09:00:00.000Z"},
    {"GpxRateAnySpelling",
     oneTrack(gpxPoint("09:00:00Z", "<extensions><HeartRate>71</HeartRate></extensions>") +
              gpxPoint("09:00:01Z", "<extensions><heartrate>72</heartrate></extensions>") +
              gpxPoint("09:00:02Z", "<HR>73</HR>")),
     "71@09:00:00.000Z 72@09:00:01.000Z 73@09:00:02.000Z"},
    {"GpxWithPrefixes",
     "<g:gpx xmlns:g='urn:g'><g:trk><g:trkseg><g:trkpt><g:time>2031-03-02T09:00:00Z</g:time><g:hr>71</g:hr>"
     "</g:trkpt></g:trkseg></g:trk></g:gpx>",
     "71@09:00:00.000Z"},
    {"GpxFractionalCadence", oneTrack(gpxPoint("09:00:00Z", "<extensions><cad>85.5</cad></extensions>")),
     "85.5@09:00:00.000Z", ChannelKind::Cadence},
    {"GpxZeroCadenceIsAValue",
     oneTrack(gpxPoint("09:00:00Z", "<cad>0</cad>") + gpxPoint("09:00:01Z", "<cad>255</cad>")),
     "0@09:00:00.000Z", ChannelKind::Cadence},
    {"GpxAltitude", oneTrack(gpxPoint("09:00:00Z", "<ele>100.4</ele>")), "100.4@09:00:00.000Z",
     ChannelKind::Altitude},
    {"GpxOneDotZeroSpeed", oneTrack(gpxPoint("09:00:00Z", "<speed>3.25</speed>")), "3.25@09:00:00.000Z",
     ChannelKind::Speed},
    {"GpxSeveralTracks",
     gpx("<trk><trkseg>" + gpxPoint("09:00:00Z", "<hr>71</hr>") + "</trkseg></trk><trk><trkseg>" +
         gpxPoint("10:00:00Z", "<hr>72</hr>") + "</trkseg></trk>"),
     "71@09:00:00.000Z 72@10:00:00.000Z"},
    {"GpxWayPointsAreNoRows",
     gpx("<wpt><time>2031-03-02T08:00:00Z</time><hr>60</hr></wpt><rte><rtept><time>2031-03-02T08:00:00Z"
         "</time><hr>61</hr></rtept></rte><trk><trkseg>" +
         gpxPoint("09:00:00Z", "<hr>71</hr>") + "</trkseg></trk>"),
     "71@09:00:00.000Z"},
    {"OffsetsAreApplied",
     oneTrack(gpxPoint("09:00:00+02:00", "<hr>71</hr>") + gpxPoint("03:00:01.250-0430", "<hr>72</hr>")),
     "71@07:00:00.000Z 72@07:30:01.250Z"},
    {"FractionsOfSeconds",
     oneTrack(gpxPoint("09:00:00.125Z", "<hr>71</hr>") + gpxPoint("09:00:01.5Z", "<hr>72</hr>")),
     "71@09:00:00.125Z 72@09:00:01.500Z"},
    {"SentinelsAreMissing",
     oneTrack(gpxPoint("09:00:00Z", "<hr>0</hr>") + gpxPoint("09:00:01Z", "<hr>255</hr>") +
              gpxPoint("09:00:02Z", "<hr/>") + gpxPoint("09:00:03Z", "<hr>NaN</hr>") +
              gpxPoint("09:00:04Z", "<hr>71</hr>")),
     "71@09:00:04.000Z"},
    {"CommentsAndCdataAreStepsAside",
     oneTrack("<!-- <trkpt><hr>60</hr></trkpt> -->" +
              gpxPoint("09:00:00Z", "<!-- x --><hr><![CDATA[71]]></hr>")),
     "71@09:00:00.000Z"},
    {"BlanksAroundValues",
     oneTrack("<trkpt>\n<time>\n 2031-03-02T09:00:00Z \t</time>\n<hr>\n  71\n</hr></trkpt>"),
     "71@09:00:00.000Z"},
    {"ADocumentTypeBefore",
     "<!DOCTYPE gpx [<!ENTITY a \"b\">]>" + oneTrack(gpxPoint("09:00:00Z", "<hr>71</hr>")),
     "71@09:00:00.000Z"},
};

INSTANTIATE_TEST_SUITE_P(Documents, XmlLayout, testing::ValuesIn(layouts),
                         [](const auto& layout) { return std::string{layout.param.name}; });

TEST(XmlRows, CountPointsWithATimeWhateverTheyHold) {
    const auto recording = read(oneTrack(gpxPoint("09:00:00Z", "") + gpxPoint("09:00:01Z", "<hr>0</hr>") +
                                         gpxPoint("09:00:02Z", "<hr>71</hr>")));

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->rows, 3u);
}

TEST(XmlRows, LeaveOutPointsWithoutATimeAndSayWhereTheFirstIs) {
    const std::string before = "<gpx creator=\"Band\"><trk><trkseg>" + gpxPoint("09:00:00Z", "<hr>71</hr>");
    const auto recording =
        read(before + "<trkpt><hr>72</hr></trkpt><trkpt><hr>73</hr></trkpt></trkseg></trk></gpx>");

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->rows, 1u);
    EXPECT_NE(warnings(recording).find(
                  fmt::format("2 points without a time left out (first at byte {})", before.size())),
              std::string::npos)
        << warnings(recording);
}

TEST(XmlRows, LeaveOutPointsWhoseDateCannotBe) {
    const auto recording = read(oneTrack("<trkpt><time>2031-02-30T09:00:00Z</time><hr>70</hr></trkpt>" +
                                         gpxPoint("09:00:00Z", "<hr>71</hr>")));

    EXPECT_EQ(shown(recording), "71@09:00:00.000Z");
    EXPECT_NE(warnings(recording).find("2031-02-30T09:00:00Z"), std::string::npos) << warnings(recording);
}

TEST(XmlRows, TellOfTimesThatGoBackOrRepeat) {
    const auto recording =
        read(oneTrack(gpxPoint("09:00:03Z", "") + gpxPoint("09:00:01Z", "") + gpxPoint("09:00:01Z", "")));

    EXPECT_NE(warnings(recording).find("1 point going back in time"), std::string::npos)
        << warnings(recording);
    EXPECT_NE(warnings(recording).find("1 point repeating the time"), std::string::npos);
}

TEST(XmlRows, CountAValueThatIsNoNumberAsMissingAndTell) {
    const auto recording = read(oneTrack(gpxPoint("09:00:00Z", "<hr>7x1</hr>")));

    EXPECT_EQ(shown(recording), "none");
    EXPECT_NE(warnings(recording).find("7x1"), std::string::npos) << warnings(recording);
}

TEST(XmlTimes, WithoutAZoneAreLaidOnUtcWithAWarning) {
    const auto recording = read(oneTrack(gpxPoint("09:00:00", "<hr>71</hr>")));

    EXPECT_EQ(shown(recording), "71@09:00:00.000Z");
    EXPECT_EQ(recording->clock, ClockBasis::ZoneUnknown);
    EXPECT_NE(warnings(recording).find("name no zone"), std::string::npos) << warnings(recording);
}

TEST(XmlTimes, WithoutAZoneTakeTheZoneOfTheOptions) {
    ReadOptions options;
    options.zone = "+02:00";
    const auto recording =
        read(oneTrack(gpxPoint("09:00:00", "<hr>71</hr>") + gpxPoint("09:00:00Z", "<hr>72</hr>")), options);

    EXPECT_EQ(shown(recording), "71@07:00:00.000Z 72@09:00:00.000Z");
    EXPECT_EQ(recording->clock, ClockBasis::Utc);
}

TEST(XmlTimes, RefuseAZoneThatIsNone) {
    ReadOptions options;
    options.zone = "Harbour";
    const auto recording = read(oneTrack(""), options);

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::WrongUsage);
}

TEST(TcxLaps, SpanTheirStartAndTotalTime) {
    const auto recording =
        read(tcx("<Lap StartTime=\"2031-03-02T09:00:00Z\"><TotalTimeSeconds>60.5</TotalTimeSeconds></Lap>"
                 "<Lap StartTime=\"2031-03-02T11:01:00+02:00\"><TotalTimeSeconds>30</TotalTimeSeconds>"
                 "<Notes>kettlebell &amp; row</Notes></Lap>"));

    EXPECT_EQ(lapsOf(recording),
              "lap 1 09:00:00.000Z/09:01:00.500Z;kettlebell & row 09:01:00.000Z/09:01:30.000Z;");
}

TEST(TcxLaps, WithoutStartOrLengthSpanTheirPoints) {
    const auto recording =
        read(tcx("<Lap><Track>" + tcxPoint("09:00:00Z", "") + tcxPoint("09:00:07Z", "") + "</Track></Lap>"));

    EXPECT_EQ(lapsOf(recording), "lap 1 09:00:00.000Z/09:00:07.000Z;");
}

TEST(TcxPauses, LieBetweenTheTracksOfOneLap) {
    const auto recording =
        read(tcx("<Lap><Track>" + tcxPoint("09:00:00Z", "") + "</Track><Track>" + tcxPoint("09:05:00Z", "") +
                 "</Track></Lap><Lap><Track>" + tcxPoint("09:10:00Z", "") + "</Track></Lap>"));

    EXPECT_EQ(pausesOf(recording), "09:00:00.000Z/09:05:00.000Z;");
}

TEST(GpxPauses, LieBetweenTheSegmentsOfOneTrack) {
    const auto recording =
        read(gpx("<trk><trkseg>" + gpxPoint("09:00:00Z", "") + "</trkseg><trkseg/><trkseg>" +
                 gpxPoint("09:05:00Z", "") + "</trkseg></trk><trk><trkseg>" + gpxPoint("09:10:00Z", "") +
                 "</trkseg></trk>"));

    EXPECT_EQ(pausesOf(recording), "09:00:00.000Z/09:05:00.000Z;");
    EXPECT_EQ(lapsOf(recording), "");
}

TEST(XmlDevice, IsTheCreatorOfAnActivity) {
    const auto recording =
        read(tcx("<Lap/><Creator xsi:type=\"Device_t\"><Name> Strap 2 </Name><UnitId>1</UnitId></Creator>"));

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->device, "Strap 2");
}

TEST(XmlDevice, HasANumberAndAFirmwareInTcx) {
    const auto recording =
        read(tcx("<Creator><Name>Strap</Name><UnitId>4711</UnitId><Version><VersionMajor>2</VersionMajor>"
                 "<VersionMinor>4</VersionMinor></Version></Creator>"));

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->serial, "4711");
    EXPECT_EQ(recording->firmware, "2.4");
}

TEST(XmlSport, IsTheTypeOfATrackAndNotOfItsLink) {
    const auto recording =
        read(gpx("<trk><link href=\"x\"><type>text/html</type></link><type>Trail_Running</type></trk>"));

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->sport, "trail running");
}

TEST(XmlSport, OtherSaysNothing) {
    const auto recording = read(tcx("<Lap/>"));

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->sport, "");
}

TEST(XmlDevice, IsTheCreatorAttributeOfGpx) {
    const auto recording = read(gpx(""));

    ASSERT_TRUE(recording);
    EXPECT_EQ(recording->device, "Band");
}

TEST(XmlEncoding, MayBeUtf16OfEitherOrderOrHaveAMark) {
    const std::string text =
        "<?xml version=\"1.0\" encoding=\"UTF-16\"?>" + oneTrack(gpxPoint("09:00:00Z", "<hr>71</hr>"));
    std::string little = "\xFF\xFE", big = "\xFE\xFF";
    for (const char c : text) {
        little += c;
        little += '\0';
        big += '\0';
        big += c;
    }

    EXPECT_EQ(shown(read(little)), "71@09:00:00.000Z");
    EXPECT_EQ(shown(read(big)), "71@09:00:00.000Z");
    EXPECT_EQ(shown(read("\xEF\xBB\xBF  \n" + text)), "71@09:00:00.000Z");
}

TEST(XmlEncoding, MayBeDeclaredWrongly) {
    const auto recording =
        read("<?xml version=\"1.0\" encoding=\"EBCDIC\"?><gpx creator=\"B\xE4nd\"><trk><trkseg>" +
             gpxPoint("09:00:00Z", "<hr>71</hr>") + "</trkseg></trk></gpx>");

    EXPECT_EQ(shown(recording), "71@09:00:00.000Z");
    EXPECT_EQ(recording->device, "B?nd");
}

TEST(OtherXml, IsRefusedNamingItsRootElement) {
    const auto recording = read("<?xml version=\"1.0\"?>\n<!DOCTYPE html><html><body/></html>");

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::UnknownFormat);
    EXPECT_NE(recording.fault().message.find("<html>"), std::string::npos) << recording.fault().message;
    EXPECT_EQ(recording.fault().byte, 37u);
}

TEST(OtherXml, IsRefusedWithoutAnElement) {
    const auto recording = read("<!-- nothing -->");

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::UnknownFormat);
}

}  // namespace
}  // namespace beatwitness::recording
