#pragma once

#include "tests/support/recording_writer.h"
#include "tests/support/sample_library.h"

/// The writers of recordings as values, for the sessions to name.
namespace beatwitness::tests {

/// Numbers of the protocol's profile.
inline constexpr FitSport fitCycling{2, 0}, fitRowing{15, 14}, fitHiking{17, 0};

[[nodiscard]] SampleWriter plainFit();
[[nodiscard]] SampleWriter workoutFit(FitSport sport);
[[nodiscard]] SampleWriter tcx();
[[nodiscard]] SampleWriter gpx();
[[nodiscard]] SampleWriter csv(CsvDialect dialect);
[[nodiscard]] SampleWriter json(JsonLayout layout);
[[nodiscard]] SampleWriter rr(RrLayout layout);
[[nodiscard]] SampleWriter sections();
[[nodiscard]] SampleWriter intervalSections();
/// What `writer` writes, packed under `name`.
[[nodiscard]] SampleWriter gzipped(std::string name, SampleWriter writer);
[[nodiscard]] SampleWriter zipped(std::string name, SampleWriter writer);

}  // namespace beatwitness::tests
