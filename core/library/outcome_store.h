#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/analysis/wearing_outcome.h"
#include "core/library/database.h"
#include "core/library/ids.h"

/// Outcomes of wearings, kept beside the recordings they are of. Failures stay with the database.
namespace beatwitness::library {

/// A kept outcome, and what it was made of.
struct StoredOutcome {
    WearingId wearing;
    bool excludeReferenceFaults = true;
    std::string stamp;  ///< digest of inputs, settings and versions
    analysis::WearingOutcome outcome;
    std::string thresholds;  ///< those that were changed, as one text; empty: none
};

/// Everything of a session that an analysis of it depends on, in one text; and when the session was added.
struct SessionInputs {
    SessionId session;
    std::string text;
    Micros added{0};        ///< since 1970
    std::string decisions;  ///< the same of the decisions in force; empty where there are none
};

/// Of one project or of all sessions, by session.
[[nodiscard]] std::vector<SessionInputs> sessionInputs(Database& database, std::optional<ProjectId> project);

/// By wearing; whatever their stamps. Of one project or of all sessions.
[[nodiscard]] std::vector<StoredOutcome> outcomeRows(Database& database, std::optional<ProjectId> project,
                                                     bool excludeReferenceFaults,
                                                     std::string_view thresholds);
/// In place of what is there.
void replaceOutcomes(Database& database, std::span<const StoredOutcome> outcomes);

}  // namespace beatwitness::library
