#include "tests/support/sample_library.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "core/analysis/session_analysis.h"
#include "core/foundation/text.h"
#include "core/recording/archive.h"
#include "core/recording/file_bytes.h"
#include "core/trace/trace.h"
#include "tests/support/generator_sample.h"
#include "tests/support/shared_files.h"

/// The committed folder against the generator's truth and against what core reads in it.
namespace beatwitness::tests {
namespace {

using Json = nlohmann::json;

std::filesystem::path folder() {
    return projectFolder() / "sample-sessions";
}

std::string committed(const std::string& name) {
    std::ifstream in{folder() / name, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

Json committedJson(const std::string& name) {
    return Json::parse(committed(name));
}

/// The recordings that the manifest names.
std::set<std::string> recordingNames() {
    std::set<std::string> names;
    const auto manifest = committedJson("manifest.json");
    for (const auto& session : manifest["sessions"])
        for (const auto& wearing : session["wearings"])
            if (wearing.contains("file")) names.insert(wearing["file"].get<std::string>());
    return names;
}

recording::RecordingFile readCommitted(const std::string& name) {
    auto file = recording::readRecordingFile(folder() / name);
    EXPECT_TRUE(file) << name << ": " << file.fault().message;
    return file ? std::move(*file) : recording::RecordingFile{};
}

/// Every recording with what the truth says of it: the straps and, where something was recorded, the devices.
struct Known {
    std::string session, file;
    Json truth;
};

std::vector<Known> knownRecordings() {
    std::vector<Known> known;
    const auto truth = committedJson("truth.json");
    for (const auto& session : truth["sessions"]) {
        known.push_back({session["name"], session["reference"]["file"], session["reference"]});
        for (const auto& device : session["devices"])
            if (device.contains("file")) known.push_back({session["name"], device["file"], device});
    }
    return known;
}

/// The instants of valid heart rates between the first and the last that the truth names (an export holds
/// other sessions too); of a file without a date, all.
std::vector<RecordingTime> validTimes(const recording::Recording& recording, const Json& truth) {
    const auto* rates = recording.channel(recording::ChannelKind::HeartRate);
    std::vector<RecordingTime> times;
    for (const auto time : rates->times) {
        const auto text = isoInstant(time.time_since_epoch());
        if (truth["start"].is_null() || (text >= truth["start"] && text <= truth["end"]))
            times.push_back(time);
    }
    return times;
}

TEST(SampleLibrary, CommittedFilesAreWhatTheGeneratorWrites) {
    for (const auto& file : sampleLibraryFiles()) {
        const std::string written(reinterpret_cast<const char*>(file.bytes.data()), file.bytes.size());

        EXPECT_TRUE(written == committed(file.name))
            << file.name << " differs: run make_sample_sessions sample-sessions";
    }
}

TEST(SampleLibrary, TheFirstSessionIsTheSamplePair) {
    std::map<std::string, std::vector<std::byte>> files;
    for (auto& file : sampleLibraryFiles())
        files[file.name] = std::move(file.bytes);

    for (const auto& file : sampleFiles())
        if (!file.name.ends_with("truth.json")) {
            EXPECT_TRUE(files[file.name] == file.bytes) << file.name;
        }
}

TEST(SampleLibrary, NoFileLiesThereThatNobodyNames) {
    auto named = recordingNames();
    named.insert({"manifest.json", "truth.json", "ergometer-5x4-truth.json", "README.md"});

    std::set<std::string> found;
    for (const auto& entry : std::filesystem::directory_iterator{folder()})
        found.insert(entry.path().filename().string());

    EXPECT_EQ(found, named);
}

TEST(SampleLibrary, TheFolderIsSmallerThanFourMegabytes) {
    std::uintmax_t size = 0;
    for (const auto& entry : std::filesystem::directory_iterator{folder()})
        size += entry.file_size();

    EXPECT_LT(size, 4'000'000u);
}

TEST(SampleLibrary, EveryFormatOfTheReadersOccurs) {
    std::set<recording::Format> formats;
    for (const auto& name : recordingNames())
        formats.insert(readCommitted(name).recording.format);

    using recording::Format;
    EXPECT_EQ(formats, (std::set{Format::Fit, Format::Tcx, Format::Gpx, Format::Csv, Format::Json, Format::Rr,
                                 Format::Hrm}));
}

TEST(SampleLibrary, PackedFilesOfBothKindsOccur) {
    std::set<std::byte> firstBytes;
    for (const auto& name : recordingNames()) {
        const auto bytes = recording::fileBytes(folder() / name);
        if (recording::looksLikeArchive(*bytes)) firstBytes.insert(bytes->front());
    }

    EXPECT_EQ(firstBytes, (std::set{std::byte{0x1F}, std::byte{'P'}}));
}

TEST(SampleLibrary, NothingIsWrongWithAnyFileButAZoneThatItDoesNotName) {
    for (const auto& name : recordingNames())
        for (const auto& warning : readCommitted(name).recording.warnings)
            EXPECT_NE(warning.find("zone"), std::string::npos) << name << ": " << warning;
}

// The kinds are those that the batch contract lists.
TEST(SampleLibrary, EveryKindOfFailureOccursInTheTruth) {
    std::set<std::string> kinds;
    for (const auto& known : knownRecordings())
        for (const auto& fault : known.truth["faults"])
            if (fault["on"] == "test") kinds.insert(fault["kind"]);

    EXPECT_EQ(kinds, (std::set<std::string>{"lag", "missed-rise", "half-rate", "double-rate", "cadence-lock",
                                            "stuck", "dropout", "spike", "damped", "adrift"}));
}

TEST(SampleLibrary, TheStrapFailsDryAtTheStartOnceAndIsLostOnce) {
    std::multiset<std::string> kinds;
    for (const auto& known : knownRecordings())
        for (const auto& fault : known.truth["faults"])
            if (fault["on"] == "reference") kinds.insert(fault["kind"]);

    EXPECT_EQ(kinds, (std::multiset<std::string>{"dropout", "spike"}));
}

TEST(SampleLibrary, TheReadersFindTheSamplesThatTheTruthCounts) {
    for (const auto& known : knownRecordings()) {
        const auto file = readCommitted(known.file);

        const auto times = validTimes(file.recording, known.truth);

        EXPECT_EQ(times.size(), known.truth["valid_samples"]) << known.session << ", " << known.file;
    }
}

TEST(SampleLibrary, TheReadersFindTheFirstAndTheLastInstantOfTheTruth) {
    for (const auto& known : knownRecordings()) {
        if (known.truth["start"].is_null()) continue;
        const auto file = readCommitted(known.file);

        const auto times = validTimes(file.recording, known.truth);

        ASSERT_FALSE(times.empty()) << known.file;
        EXPECT_EQ(isoInstant(times.front().time_since_epoch()), known.truth["start"]) << known.file;
        EXPECT_EQ(isoInstant(times.back().time_since_epoch()), known.truth["end"]) << known.file;
    }
}

/// A session's devices against its strap, as `analyse` would.
analysis::SessionAnalysis analysed(const Json& session) {
    std::vector<recording::RecordingFile> tests;
    for (const auto& device : session["devices"])
        if (device.contains("file")) tests.push_back(readCommitted(device["file"]));
    auto analysis =
        analysis::analyseSession(readCommitted(session["reference"]["file"]), std::move(tests), {});
    EXPECT_TRUE(analysis) << session["name"];
    return std::move(*analysis);
}

// The truth's offset is found by brute force, without core (generator_estimand.h).
TEST(SampleLibrary, EveryClockIsFoundWithinASecondUnlessItCannotBeKnown) {
    const auto truth = committedJson("truth.json");
    for (const auto& session : truth["sessions"]) {
        const auto analysis = analysed(session);
        std::size_t test = 0;
        for (const auto& device : session["devices"]) {
            if (!device.contains("file")) continue;
            const auto& alignment = analysis.tests[test++].alignment;
            SCOPED_TRACE(session["name"].get<std::string>() + ", " + device["device"].get<std::string>());

            ASSERT_EQ(alignment.applied(), device["identifiable"].get<bool>());
            if (alignment.applied()) {
                EXPECT_NEAR(alignment.correction->offset.value, device["alignment"]["offset_s"], 1.0);
            }
        }
    }
}

TEST(SampleLibrary, OnlyTheSessionOfLyingStillCannotBeAligned) {
    std::set<std::string> refused;
    for (const auto& known : knownRecordings())
        if (known.truth.contains("identifiable") && !known.truth["identifiable"])
            refused.insert(known.session);

    EXPECT_EQ(refused, std::set<std::string>{"lying still"});
}

TEST(SampleLibrary, OneClockIsAWholeHourOff) {
    std::multiset<long> hours;
    for (const auto& known : knownRecordings())
        if (known.truth.contains("alignment"))
            if (const long hour =
                    std::lround(known.truth["alignment"]["clock_offset_s"].get<double>() / 3600);
                hour != 0)
                hours.insert(hour);

    // The watch of 21 March, and the band whose app wrote local time on 9 March.
    EXPECT_EQ(hours, (std::multiset<long>{-1, -1}));
}

TEST(SampleLibrary, HeartRatesAreThoseOfAWearerWhoTrains) {
    for (const auto& session : sampleSessions())
        for (const double rate_bpm : generateSession(session).reference.truth.rate_bpm) {
            ASSERT_GE(rate_bpm, 45.0) << session.name;
            ASSERT_LE(rate_bpm, 190.0) << session.name;
        }
}

}  // namespace
}  // namespace beatwitness::tests
