#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/flags/decisions.h"

/// How a list of decisions changes with each gesture of a reviewer. A flag has one decision at most: deciding
/// again changes it, with what the analysis had found kept for the next matching.
namespace beatwitness::flags {

/// Under which circumstances a decision is made.
struct Deciding {
    bool blind = false;
    int round = 1;
    Micros at{0};             ///< since 1970
    TraceClock clock;         ///< of the flagged trace
    std::int64_t nextId = 1;  ///< not in use in the session
};

/// What is to become of a flag; what is not said stays.
struct FlagChange {
    Verdict verdict = Verdict::Kept;
    std::optional<FlagKind> kind;            ///< Relabelled
    std::optional<trace::SessionSpan> span;  ///< Moved
    std::optional<bool> excludes;            ///< of a flag on the reference
    std::optional<std::string> note;
};

/// The decisions after `change` of `flag`, which is one of DecidedFlags under them. Dismissing what was added
/// takes the decision away: nothing is left of it.
[[nodiscard]] std::vector<FlagDecision> decided(std::vector<FlagDecision> decisions, const Flag& flag,
                                                const FlagChange& change, const Deciding& how);

/// A flag where the analysis found none.
[[nodiscard]] std::vector<FlagDecision> withAdded(std::vector<FlagDecision> decisions, FlaggedTrace on,
                                                  FlagKind kind, const trace::SessionSpan& span,
                                                  const Deciding& how);

/// Without the decision of that id: the flag is as the analysis found it.
[[nodiscard]] std::vector<FlagDecision> withoutDecision(std::vector<FlagDecision> decisions, std::int64_t id);

}  // namespace beatwitness::flags
