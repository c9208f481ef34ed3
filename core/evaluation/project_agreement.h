#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/agreement/attribution.h"
#include "core/agreement/comparison.h"
#include "core/agreement/criterion.h"
#include "core/agreement/pooled_agreement.h"
#include "core/evaluation/device_comparison.h"
#include "core/evaluation/group_limits.h"
#include "core/evaluation/members.h"
#include "core/evaluation/outcomes.h"
#include "core/evaluation/question.h"
#include "core/evaluation/session_evidence.h"

namespace beatwitness::evaluation {

/// One wearer's part of a group, with intervals over that wearer's sessions.
struct WearerFigures {
    std::string wearer;
    std::size_t sessions = 0;
    double pairs = 0;
    agreement::PooledFigures timeWeighted, sessionWeighted;
};

/// Sessions that share all that the question groups by, pooled under one clock.
struct AgreementGroup {
    std::vector<std::pair<GroupKey, std::string>> by;  ///< in the order of the question
    Clock clock = Clock::Aligned;
    std::size_t sessions = 0;         ///< with pairs in this group
    std::size_t sessionsRefused = 0;  ///< of those, with a refused alignment: as recorded under both clocks
    std::size_t wearers = 0;          ///< different labels; sessions without one count as one wearer
    int flagsByHand = 0;
    double pairs = 0;               ///< seconds, or epochs
    double independentSeconds = 0;  ///< independent readings that the errors are worth, in seconds
    double lateStartSeconds = 0, earlyStopSeconds = 0, excludedReferenceSeconds = 0;
    std::optional<Percent> coverage;         ///< pairs over reference seconds
    std::optional<Percent> ownSpanCoverage;  ///< pairs over reference seconds between first and last sample
    agreement::PooledFigures timeWeighted, sessionWeighted;
    std::vector<WearerFigures> byWearer;  ///< with 2 to 5 wearers
    GroupLimits limits;
    std::vector<agreement::AttributionRow> attribution;  ///< adds up to the mean absolute error
    std::vector<agreement::CriterionResult> criteria;    ///< those that concern the group
    /// Of the mean error of sampling units with the question's margin. It concerns the mean alone.
    std::optional<agreement::Equivalence> equivalence;
};

struct ProjectAgreement {
    std::vector<AgreementGroup> groups;         ///< by their labels, each first aligned, then as recorded
    std::size_t sessionsAsked = 0;              ///< sessions of the project with an asked activity
    std::size_t failedAttempts = 0;             ///< wearings of asked test devices that recorded nothing
    std::vector<DeviceComparison> comparisons;  ///< aligned, each followed by itself as recorded
    /// Second references against the first, by their device: how far two references are apart is the floor
    /// under every device's error.
    std::vector<AgreementGroup> referenceFloor;
    std::vector<SessionEvidence> evidence;
    std::vector<SessionEvidence> otherFaults;  ///< with the other choice of reference faults, for robustness
    /// Outcomes that were not kept, or old: whoever may write the library keeps them for the next time.
    std::vector<library::StoredOutcome> fresh;
    analysis::Settings settings;  ///< thresholds of the project
};

/// Evidence of a project for a question: kept outcomes are used, missing ones worked out. Tests `run` between
/// sessions. Faults: NotInLibrary (no such project), those of analysedOutcomes() and evidenceOf(), Cancelled.
struct ProjectEvidence {
    std::vector<SessionEvidence> evidence;
    std::size_t sessionsAsked = 0;
    std::size_t failedAttempts = 0;
    std::vector<library::StoredOutcome> fresh;
    analysis::Settings settings;
};
[[nodiscard]] Result<ProjectEvidence> projectEvidence(library::Library& library, const Question& question,
                                                      const RunControl& run = {});

/// Answers `question` from the recordings of the library. Faults: those of projectEvidence().
[[nodiscard]] Result<ProjectAgreement> projectAgreement(library::Library& library, const Question& question,
                                                        const RunControl& run = {});

/// What the question compares, for evidence at hand: aligned, each followed by itself as recorded. Sides that
/// `evidence` holds nothing of are passed over.
[[nodiscard]] std::vector<DeviceComparison> comparisonsUnderBothClocks(
    const std::vector<SessionEvidence>& evidence, const Question& question);

/// The pooling alone, for evidence at hand.
[[nodiscard]] std::vector<AgreementGroup> pooledGroups(const std::vector<SessionEvidence>& evidence,
                                                       const Question& question);

/// Two references in a session, the second scored against the first, by its device; no criteria.
[[nodiscard]] std::vector<AgreementGroup> referenceFloor(std::vector<SessionEvidence> evidence,
                                                         const Question& question);

}  // namespace beatwitness::evaluation
