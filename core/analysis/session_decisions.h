#pragma once

#include <span>
#include <vector>

#include "core/analysis/session_analysis.h"

/// How decisions become the flags of an analysed session; parts of analyseSession().
namespace beatwitness::analysis {

/// Those of `decisions` at `indices`.
[[nodiscard]] std::vector<flags::FlagDecision> picked(std::span<const flags::FlagDecision> decisions,
                                                      std::span<const std::size_t> indices);

/// Puts the flags of one test together: what was found and suspected, as decided, and those of the reference.
void decide(SessionAnalysis& session, std::size_t test);

/// Which decisions on the reference neither a fault of its own nor a suspicion of some test answers.
void findUnmatched(SessionAnalysis& session);

}  // namespace beatwitness::analysis
