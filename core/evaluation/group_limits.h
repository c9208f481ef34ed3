#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/agreement/limits.h"
#include "core/agreement/magnitude_limits.h"
#include "core/evaluation/members.h"

namespace beatwitness::evaluation {

/// Limits of agreement of one group in every form that its evidence allows.
struct GroupLimits {
    std::string_view shown;  ///< key of the form to show, as in JSON; empty without two pairs
    std::string because;     ///< why that one, in one or two sentences
    std::optional<agreement::Limits> simple;  ///< an interval only for one pair a session
    std::optional<agreement::Limits> exact;   ///< the same
    std::optional<agreement::Components> components;
    std::optional<agreement::Limits> repeatedPairs;
    std::optional<agreement::MoverLimits> mover;
    std::optional<agreement::BootstrapLimits> bootstrap;
    std::optional<agreement::Limits> percentiles;
    std::optional<double> excessKurtosis;
    std::optional<agreement::MagnitudeLimits> byMagnitude;
    bool degenerate = false;  ///< all errors are the same: limits of zero width

    /// The limits under `shown`.
    [[nodiscard]] const agreement::Limits* chosen() const;
};

/// Limits of sessions, each a sampling unit. Errors are seconds or epochs; the degrees of freedom within
/// sessions are those that their correlation leaves.
[[nodiscard]] GroupLimits groupLimits(const std::vector<SessionMembers>& sessions, const Question& question);

}  // namespace beatwitness::evaluation
