#pragma once

#include <optional>
#include <span>
#include <vector>

#include "core/agreement/agreement_block.h"
#include "core/alignment/estimate_alignment.h"
#include "core/flags/decisions.h"
#include "core/flags/flag.h"
#include "core/flags/flag_settings.h"
#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/read_recording.h"
#include "core/trace/pairs.h"
#include "core/trace/session_trace.h"

/// The one place that chains the steps of a session: lay on one clock, flag the reference, align, flag,
/// agree.
namespace beatwitness::analysis {

/// How one test's clock is to be brought to the reference's.
struct ClockRequest {
    alignment::Method align = alignment::Method::Auto;
    Seconds offset{0.0};  ///< Method::Offset: added to the test clock at t0
    Ppm drift{0.0};       ///< Method::Offset: besides
};

/// Why a correction is set and not estimated.
enum class OffsetReason {
    ByHand,       ///< typed or dragged
    SharedClock,  ///< the clocks are known to share a source: a constant delay is the device's own
    SyncEvent,    ///< one event was marked on both
};

/// What reviewers made of the flags.
struct SessionDecisions {
    std::vector<flags::FlagDecision> reference;
    std::vector<std::vector<flags::FlagDecision>> tests;  ///< in their order; those beyond have none

    [[nodiscard]] std::span<const flags::FlagDecision> ofTest(std::size_t test) const {
        if (test >= tests.size()) return {};
        return tests[test];
    }
    friend bool operator==(const SessionDecisions&, const SessionDecisions&) = default;
};

/// What the user asks for a session.
struct Request {
    alignment::Method align = alignment::Method::Auto;
    Seconds offset{0.0};  ///< Method::Offset: added to the test clock
    bool excludeReferenceFaults = true;
    Ppm drift{0.0};                              ///< Method::Offset
    OffsetReason reason = OffsetReason::ByHand;  ///< Method::Offset; changes no number
    std::vector<ClockRequest> clocks;  ///< of each test, in their order; of those beyond, as said above

    SessionDecisions decisions;

    [[nodiscard]] ClockRequest clockOf(std::size_t test) const {
        return test < clocks.size() ? clocks[test] : ClockRequest{align, offset, drift};
    }
};

/// Every threshold in force.
struct Settings {
    trace::PairingSettings pairing;
    alignment::Settings alignment;
    flags::Settings flags;
};

/// A test recording against the reference under one clock.
struct ClockView {
    alignment::ClockCorrection correction;
    trace::SessionTrace trace;  ///< the test in session time
    trace::Pairs pairs;         ///< less the excluded seconds
    agreement::AgreementBlock agreement;
};

struct TestAnalysis {
    recording::RecordingFile file;
    Micros laid{0};  ///< added to its times before any correction: how a file without a date came beside the
                     ///< reference
    alignment::Alignment alignment;
    ClockView asRecorded;
    std::optional<ClockView> aligned;  ///< present exactly when the alignment was applied
    std::vector<flags::Flag>
        flags;  ///< of test and reference, by start; under the aligned clock where there is one

    std::vector<flags::Flag> dismissed;          ///< taken out of `flags` by decisions; likewise
    std::vector<flags::Flag> found;              ///< on the test, before any decision
    std::vector<flags::Flag> suspected;          ///< suspicions against the reference, likewise
    std::vector<flags::FlagDecision> unmatched;  ///< on the test: decisions that no flag answers any more
    int flagsByHand = 0;                         ///< flags on the test that decisions changed

    /// The clock that flags and headline numbers go by: aligned where there is one.
    [[nodiscard]] const ClockView& view() const { return aligned ? *aligned : asRecorded; }
};

/// A recording that brings channels such as cadence; never scored.
struct ContextAnalysis {
    recording::RecordingFile file;
    Micros laid{0};  ///< added to its times before the correction
    alignment::ClockCorrection correction;
    bool alignedByHeartRate = false;  ///< else it stands as recorded
};

struct SessionAnalysis {
    recording::RecordingFile reference;
    ReferenceTime t0;  ///< first valid sample of the reference
    trace::SessionTrace referenceTrace;
    std::size_t referenceSeconds = 0;  ///< seconds in which the reference has a value
    std::size_t excludedReferenceSeconds = 0;
    std::vector<flags::Flag> referenceFaults;             ///< as decided; also among the flags of every test
    std::vector<flags::Flag> referenceDismissed;          ///< likewise
    std::vector<flags::FlagDecision> referenceLeft;       ///< decisions that none of its own faults answers
    std::vector<flags::FlagDecision> referenceUnmatched;  ///< those that no suspicion answers either
    int referenceFlagsByHand = 0;
    std::vector<TestAnalysis> tests;  ///< in the order given
    std::vector<ContextAnalysis> contexts;
    Settings settings;
    Request request;
};

/// Faults: NoHeartRate (reference or a test without a valid sample), TooLong, Cancelled. A refused alignment
/// is none.
[[nodiscard]] Result<SessionAnalysis> analyseSession(recording::RecordingFile reference,
                                                     std::vector<recording::RecordingFile> tests,
                                                     std::vector<recording::RecordingFile> contexts,
                                                     const Request& request = {},
                                                     const Settings& settings = {},
                                                     const RunControl& run = {});

/// `session` with other decisions on the flags of test `test`; all else stays. Requires: the test is there. A
/// decision on the reference needs a new analysis, as it changes which seconds count.
[[nodiscard]] SessionAnalysis redecided(SessionAnalysis session, std::size_t test,
                                        std::vector<flags::FlagDecision> decisions);

/// The clocks that the flags of test `test` stand on.
[[nodiscard]] flags::SessionClocks clocksOf(const SessionAnalysis& session, std::size_t test);

/// Agreement of a reviewer with themself on one test: kappaBySecond() over the seconds of the reference, of
/// its flags under the one decisions and under the other.
[[nodiscard]] std::optional<double> reviewerKappa(const SessionAnalysis& session, std::size_t test,
                                                  std::span<const flags::FlagDecision> first,
                                                  std::span<const flags::FlagDecision> second);

}  // namespace beatwitness::analysis
