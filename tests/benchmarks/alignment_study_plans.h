#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "core/alignment/estimate_alignment.h"
#include "tests/support/generator.h"

/// Pairs that the generator's own draw does not make, as another generator might.
namespace beatwitness::tests {

struct Strain {
    std::string name;
    std::function<PairPlan(std::uint64_t seed)> plan;
    alignment::ClockKnowledge knowledge = alignment::ClockKnowledge::Dated;
};

[[nodiscard]] std::vector<Strain> strains();

}  // namespace beatwitness::tests
