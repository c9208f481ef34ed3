#pragma once

#include <string>
#include <utility>
#include <vector>

#include "core/agreement/pooled_agreement.h"
#include "core/evaluation/session_evidence.h"

namespace beatwitness::evaluation {

/// From this many wearers on the wearer is the sampling unit; with fewer, each is given beside the pooled
/// figures. Source: batch contract.
inline constexpr std::size_t wearersFrom = 6;

/// One wearing's share of one group: all of its seconds, or those of a phase, a range, in epochs.
struct Member {
    const SessionEvidence* evidence = nullptr;
    std::string phase;  ///< label, where grouped by phase
    int range = -1;     ///< lower edge in bpm, where grouped by range
    ClockEvidence aligned, asRecorded;
    double excludedSeconds = 0.0;

    [[nodiscard]] const ClockEvidence& under(Clock clock) const {
        return clock == Clock::Aligned ? aligned : asRecorded;
    }
};

/// Members of one label.
struct LabelledMembers {
    std::vector<std::pair<GroupKey, std::string>> by;  ///< in the order of the question
    std::vector<Member> members;
};

/// The seconds that the question asks for, in the groups that it asks for, by label (ranges by number,
/// sessions of one name apart). A second inside nested phases belongs to each of them. `evidence` must
/// outlive the answer.
[[nodiscard]] std::vector<LabelledMembers> labelledMembers(const std::vector<SessionEvidence>& evidence,
                                                           const Question& question);

/// Members of one session under one clock: several wearings of it in one group (two units of a device) are
/// one sampling unit. By session number; only sessions with pairs.
struct SessionMembers {
    std::int64_t session = 0;
    std::string wearer;
    agreement::SessionSums sums;
    double independent = 0.0;
    std::vector<const agreement::PairedSeconds*> seconds;
};
[[nodiscard]] std::vector<SessionMembers> sessionsOf(const std::vector<Member>& members, Clock clock);

/// Sessions, or wearers from `wearersFrom` of them on.
[[nodiscard]] agreement::SamplingUnits samplingUnits(const std::vector<SessionMembers>& sessions);

}  // namespace beatwitness::evaluation
