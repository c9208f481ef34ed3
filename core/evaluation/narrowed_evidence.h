#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "core/evaluation/session_evidence.h"

namespace beatwitness::evaluation {

/// Which part of a project's evidence is looked at; an empty list asks for all.
struct Scope {
    std::vector<std::int64_t> sessions;
    std::vector<std::string> devices;  ///< second references always stay
    std::vector<std::string> activities;
    std::vector<std::string> phases;  ///< labels or kinds: only seconds inside such phases
    std::vector<int> ranges;          ///< lower edges, `rangeWidth_bpm` wide, of the reference's own seconds

    friend bool operator==(const Scope&, const Scope&) = default;
};

/// The seconds of `evidence` that `scope` asks for. Ranges go by seconds, also where epochs are made of them
/// afterwards. Evidence that keeps all of its seconds is shared, not copied.
[[nodiscard]] std::vector<SessionEvidence> narrowed(const std::vector<SessionEvidence>& evidence,
                                                    const Scope& scope);

/// One session that is analysed already, as evidence: each test against the reference. `devices` names the
/// tests; phases are the caller's.
struct LiveSession {
    const analysis::SessionAnalysis& session;
    std::vector<std::string> devices;
    std::vector<EvidencePhase> phases;
    std::string name;
};
[[nodiscard]] std::vector<SessionEvidence> evidenceOfSession(const LiveSession& live);

}  // namespace beatwitness::evaluation
