#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "core/alignment/estimate_alignment.h"
#include "core/analysis/session_analysis.h"

namespace beatwitness::analysis {

/// A channel other than heart rate in session time, for reading beside the traces.
///
/// Invariants: seconds, values and joined have one length; seconds strictly ascending. Units as
/// recording::Channel.
struct ContextTrace {
    recording::ChannelKind kind = recording::ChannelKind::Cadence;
    std::string file;             ///< where it comes from
    std::vector<double> seconds;  ///< session time
    std::vector<double> values;
    std::vector<std::uint8_t> joined;  ///< 1 where joined to the one before it; gaps as for heart rate
};

/// Cadence, power, speed and altitude of one file under `correction`, in the order of its channels.
[[nodiscard]] std::vector<ContextTrace> channelsOf(const recording::RecordingFile& file, Micros laid,
                                                   const alignment::ClockCorrection& correction,
                                                   const Settings& settings);

/// Cadence, power, speed and altitude of every recording of the session, each under the clock of its own
/// recording: the reference's as it is, a test's under its correction (`aligned`, where it has one), a
/// context file's under ContextAnalysis::correction. In the order reference, tests, contexts; channels in the
/// order of the file.
[[nodiscard]] std::vector<ContextTrace> contextTraces(const SessionAnalysis& session, bool aligned);

/// How a context file comes onto the reference clock.
///
/// With heart rate of its own it is aligned by it; without, or where that is refused, it stands as recorded:
/// a file without a date is laid so that its first sample falls on t0, one whose zone is unknown is moved by
/// whole or half hours to where it overlaps the reference most. Faults: Cancelled.
[[nodiscard]] Result<ContextAnalysis> analyseContext(recording::RecordingFile file,
                                                     const trace::Trace<ReferenceClock>& reference,
                                                     recording::ClockBasis referenceClock,
                                                     std::span<const trace::SessionSpan> leftOut,
                                                     const Settings& settings, const RunControl& run);

}  // namespace beatwitness::analysis
