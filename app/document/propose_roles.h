#pragma once

#include <span>
#include <vector>

#include "app/document/session_plan.h"
#include "core/trace/trace.h"

namespace beatwitness::app {

enum class Role { Reference, Test, Context, LeftOut };

/// A file that was read, and what it says in short.
struct Candidate {
    SharedFile file;
    trace::RecordingSummary summary;

    [[nodiscard]] bool hasHeartRate() const { return summary.span.has_value(); }
};

[[nodiscard]] Candidate candidateOf(SharedFile file);

/// Which file is what.
struct RoleProposal {
    std::vector<Role> roles;  ///< one for each candidate
    bool clear = false;       ///< two files, one of them named like a reference, and they meet in time
};

/// A guess that the user can correct.
///
/// The reference is what library::guessReference() says by names and steadiness. The other files with heart
/// rate are tests; where some of them meet the reference in time, those that do not are left out. Files
/// without heart rate are contexts when they hold another channel, else left out.
[[nodiscard]] RoleProposal proposeRoles(std::span<const Candidate> candidates);

/// True where both have a span on clocks that can be compared and the spans touch, or one of them has no
/// date.
[[nodiscard]] bool meetInTime(const Candidate& a, const Candidate& b);

/// A word for the file's device: its name as the file gives it, else the file's name without its ending.
[[nodiscard]] std::string deviceLabel(const recording::RecordingFile& file);

}  // namespace beatwitness::app
