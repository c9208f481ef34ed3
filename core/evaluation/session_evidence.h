#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/analysis/wearing_outcome.h"
#include "core/evaluation/outcomes.h"
#include "core/evaluation/question.h"
#include "core/trace/phases.h"

namespace beatwitness::evaluation {

/// What one wearing in one session says under one clock.
struct ClockEvidence {
    std::shared_ptr<const agreement::PairedSeconds> seconds;
    analysis::ClockSummary summary;  ///< of all of them
};

[[nodiscard]] ClockEvidence clockEvidence(agreement::PairedSeconds seconds);

/// A phase in session time; the begin belongs to it, the end does not.
struct EvidencePhase {
    std::string label;  ///< as people call it
    std::string kind;   ///< `effort`, …
    double begin_s = 0.0;
    double end_s = 0.0;
};

/// One wearing scored against the session's first reference.
struct SessionEvidence {
    std::int64_t session = 0;
    std::string sessionName, activity, wearer, device, firmware;
    bool secondReference = false;  ///< a reference scored against the first one: never counted as a device
    bool refused = false;          ///< alignment was refused: both clocks are as recorded
    int flagsByHand = 0;           ///< flags on the device that a person changed
    int referenceFlagsByHand = 0;  ///< the same of the session's reference
    int unmatchedDecisions = 0;    ///< decisions that no flag answers any more
    std::optional<double> reviewerKappa;  ///< agreement of the reviewer with themself, where decided twice
    std::optional<Micros> start;          ///< of the session, since 1970
    Micros added{0};                      ///< to the library, since 1970
    std::vector<std::int32_t> excluded;   ///< seconds of the reference that are left out
    std::vector<EvidencePhase> phases;
    ClockEvidence aligned, asRecorded;

    [[nodiscard]] const ClockEvidence& under(Clock clock) const {
        return clock == Clock::Aligned ? aligned : asRecorded;
    }
};

/// Evidence of every scored wearing of `row`: tests of `devices` (all, where none are named) and second
/// references. `kept` must hold the session's outcomes. Faults: those of reading the library.
[[nodiscard]] Result<std::vector<SessionEvidence>> evidenceOf(library::Library& library,
                                                              const library::SessionRow& row,
                                                              const KeptOutcomes& kept,
                                                              const std::vector<std::string>& devices);

}  // namespace beatwitness::evaluation
