#include "core/flags/review_passes.h"

#include <algorithm>
#include <iterator>

namespace beatwitness::flags {
namespace {

template <class Counts>
std::vector<FlagDecision> those(std::span<const FlagDecision> decisions, Counts counts) {
    std::vector<FlagDecision> found;
    std::ranges::copy_if(decisions, std::back_inserter(found),
                         [&](const FlagDecision& decision) { return counts(decision.round); });
    return found;
}

}  // namespace

std::optional<int> openPass(std::span<const ReviewPass> passes) {
    if (passes.empty() || passes.back().finished) return std::nullopt;
    return passes.back().number;
}

int currentRound(std::span<const ReviewPass> passes) {
    return passes.empty() ? 1 : passes.back().number;
}

std::optional<std::pair<int, int>> comparedRounds(std::span<const ReviewPass> passes) {
    const auto last = std::ranges::find_if(passes.rbegin(), passes.rend(),
                                           [](const ReviewPass& pass) { return pass.finished.has_value(); });
    if (last == passes.rend()) return std::nullopt;
    return std::pair{last->number - 1, last->number};
}

std::vector<FlagDecision> inForce(std::span<const FlagDecision> decisions,
                                  std::span<const ReviewPass> passes) {
    const auto open = openPass(passes);
    return those(decisions, [open](int round) { return !open || round < *open; });
}

std::vector<FlagDecision> inSight(std::span<const FlagDecision> decisions,
                                  std::span<const ReviewPass> passes) {
    const auto open = openPass(passes);
    return those(decisions, [open](int round) { return !open || round == *open; });
}

std::vector<FlagDecision> ofRound(std::span<const FlagDecision> decisions, int round) {
    return those(decisions, [round](int of) { return of == round; });
}

}  // namespace beatwitness::flags
