#pragma once

#include <string>
#include <utility>
#include <vector>

#include "core/agreement/pooled_agreement.h"
#include "core/evaluation/session_evidence.h"

namespace beatwitness::evaluation {

enum class GroupKey { Device, Activity, Session, Range, Wearer, Firmware };

/// As the batch contract writes it: `device`, `activity`, …
[[nodiscard]] std::string_view groupKeyName(GroupKey key);

/// What is asked of a project.
struct Question {
    std::string project;
    std::vector<std::string> devices;     ///< empty: all
    std::vector<std::string> activities;  ///< empty: all
    std::vector<GroupKey> by{GroupKey::Device, GroupKey::Activity};
    bool excludeReferenceFaults = true;
};

/// Sessions that share all that the question groups by, pooled under one clock.
struct AgreementGroup {
    std::vector<std::pair<GroupKey, std::string>> by;  ///< in the order of the question
    Clock clock = Clock::Aligned;
    std::size_t sessions = 0;         ///< with pairs in this group
    std::size_t sessionsRefused = 0;  ///< of those, with a refused alignment: as recorded under both clocks
    std::size_t wearers = 0;          ///< different labels; sessions without one count as one wearer
    double pairs = 0;
    double lateStartSeconds = 0, earlyStopSeconds = 0, excludedReferenceSeconds = 0;
    std::optional<Percent> coverage;  ///< pairs over reference seconds; absent where grouped by range
    std::optional<Percent>
        ownSpanCoverage;  ///< pairs over reference seconds between first and last sample; likewise
    agreement::PooledFigures timeWeighted, sessionWeighted;
};

struct ProjectAgreement {
    std::vector<AgreementGroup> groups;  ///< by their labels, each first aligned, then as recorded
    std::size_t sessionsAsked = 0;       ///< sessions of the project with an asked activity
    std::size_t failedAttempts = 0;      ///< wearings of asked test devices that recorded nothing
};

/// Answers `question` from the recordings of the library. One analysis a wearing; tests `run` between them.
/// Faults: NotInLibrary (no such project), those of evidenceOf(), Cancelled.
[[nodiscard]] Result<ProjectAgreement> projectAgreement(library::Library& library, const Question& question,
                                                        const RunControl& run = {});

/// The pooling alone, for evidence at hand.
[[nodiscard]] std::vector<AgreementGroup> pooledGroups(const std::vector<SessionEvidence>& evidence,
                                                       const std::vector<GroupKey>& by);

}  // namespace beatwitness::evaluation
