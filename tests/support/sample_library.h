#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tests/support/generator.h"
#include "tests/support/generator_sample.h"

/// The sessions that come with the program, in sample-sessions/: Harbour Crew, one wearer, a chest strap as
/// the reference, a wrist band and a watch that fail in different ways. The first of them is the sample pair.
namespace beatwitness::tests {

using SampleWriter = std::function<std::vector<std::byte>(const recording::Recording& recording,
                                                          std::span<const RecordingTime> emptyRows)>;

/// What else than heart rate and cadence is measured where the session took place.
enum class SampleSetting { Floor, Ergometer, Bicycle, Hills };

/// A file as its device would have written it.
struct SampleSource {
    std::string file;  ///< empty: the export over several sessions, or nothing recorded
    SampleWriter write;
    bool cadence = false;  ///< and what else the setting measures beside it; of one device in a session only
    bool undated = false;  ///< the file holds elapsed times only
};

/// How a device was worn in a session.
struct SampleDevice {
    std::string label;  ///< as in the library: "band"
    std::string name;   ///< as in the file: "Harbour band"
    std::string firmware, position, side, tightness, mode;
    std::string failedBecause;  ///< not empty: nothing was recorded
    bool isReference = false;   ///< a second reference
    SampleSource source;
    TestPlan plan;
    std::vector<FaultPlan> faults;
    std::uint64_t seed = 0;

    [[nodiscard]] bool inExport() const { return source.file.empty() && failedBecause.empty(); }
};

struct SampleSession {
    std::string name;      ///< "5 × 4 min"
    std::string activity;  ///< "rowing ergometer"
    std::string note;
    SampleSetting setting = SampleSetting::Floor;
    SampleSource strap;
    PairPlan plan;  ///< but for what belongs to a test; faults of the reference only
    std::vector<SampleDevice> devices;
};

/// In the order of time.
[[nodiscard]] std::vector<SampleSession> sampleSessions();

/// A session as generated; as many pairs as devices, empty where nothing was recorded. The reference is the
/// same in all of them.
struct GeneratedSession {
    GeneratedPair reference;  ///< of which only the reference and its faults count
    std::vector<std::optional<GeneratedPair>> devices;
};

[[nodiscard]] GeneratedSession generateSession(const SampleSession& session);

/// What the export of the band over several sessions is called.
inline constexpr std::string_view sampleExportFile = "band-export-2031-03.zip";

/// The part of the export that is a session of the band: from a minute before to a minute after it.
[[nodiscard]] Span<RecordingClock> sampleExportSpan(const GeneratedPair& pair);

/// All recordings, manifest.json and truth.json, made anew. Takes a second or two.
[[nodiscard]] std::vector<SampleFile> sampleLibraryFiles();

// Parts of the above, for its own sources.

/// Bodies of the wearer in the activities of the library.
namespace sample_bodies {
[[nodiscard]] ActivityPlan ergometerSteady(std::uint64_t seed);
[[nodiscard]] ActivityPlan ergometerSprints(std::uint64_t seed);  ///< 8 × 500 m
[[nodiscard]] ActivityPlan ergometerPyramid(std::uint64_t seed);
[[nodiscard]] ActivityPlan northRidge(std::uint64_t seed);
[[nodiscard]] ActivityPlan reservoir(std::uint64_t seed);
[[nodiscard]] ActivityPlan polesInWind(std::uint64_t seed);
[[nodiscard]] ActivityPlan kettlebells(std::uint64_t seed, int rounds);
[[nodiscard]] ActivityPlan coastRide(std::uint64_t seed);
[[nodiscard]] ActivityPlan harbourLoop(std::uint64_t seed);
[[nodiscard]] ActivityPlan hillRide(std::uint64_t seed);
[[nodiscard]] ActivityPlan lyingStill(std::uint64_t seed);
}  // namespace sample_bodies

/// Adds power, speed, distance and altitude at the rows of the recording's cadence. `offset_s`: from its
/// clock to session time; t0 is the plan's start.
void addSampleMeasures(recording::Recording& recording, SampleSetting setting, const PairPlan& plan,
                       double offset_s);

/// Turns samples at beats into what a file of intervals in whole milliseconds says: each interval's rate at
/// its closing beat.
void toBeatIntervals(recording::Recording& recording);

[[nodiscard]] std::string sampleManifest(std::span<const SampleSession> sessions,
                                         std::span<const GeneratedSession> generated);
[[nodiscard]] std::string sampleTruth(std::span<const SampleSession> sessions,
                                      std::span<const GeneratedSession> generated);

}  // namespace beatwitness::tests
