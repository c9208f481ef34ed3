#pragma once

#include <vector>

#include "core/flags/review_passes.h"
#include "core/library/ids.h"

namespace beatwitness::library {

/// What reviewers decided on the flags of one wearing: those on it as a test, and those on it as the
/// reference.
struct WearingDecisions {
    WearingId wearing;
    std::vector<flags::FlagDecision> decisions;  ///< by id
    friend bool operator==(const WearingDecisions&, const WearingDecisions&) = default;
};

/// All that was decided in a session.
struct SessionReview {
    std::vector<WearingDecisions> wearings;  ///< by id; only those with decisions
    std::vector<flags::ReviewPass> passes;   ///< by number; the first deciding has none
    friend bool operator==(const SessionReview&, const SessionReview&) = default;

    /// Decisions of one wearing on the flags of that trace.
    [[nodiscard]] std::vector<flags::FlagDecision> of(WearingId wearing, flags::FlaggedTrace on) const;
    /// All decisions of one wearing in place of those that are there.
    void set(WearingId wearing, flags::FlaggedTrace on, std::vector<flags::FlagDecision> decisions);
    /// An id that no decision has.
    [[nodiscard]] std::int64_t nextId() const;
};

}  // namespace beatwitness::library
