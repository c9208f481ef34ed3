#pragma once

#include <optional>
#include <span>
#include <vector>

#include "core/flags/decisions.h"

/// A session can be decided more than once, to see how well reviewers agree with themselves.
namespace beatwitness::flags {

/// A further deciding, without a sight of the ones before. The first needs no row.
struct ReviewPass {
    int number = 2;  ///< of its decisions' `round`
    bool blind = false;
    Micros begun{0};                 ///< since 1970
    std::optional<Micros> finished;  ///< nothing: under way

    friend bool operator==(const ReviewPass&, const ReviewPass&) = default;
};

/// The pass under way, the last of `passes`; nothing where all are finished.
[[nodiscard]] std::optional<int> openPass(std::span<const ReviewPass> passes);
/// The round that a decision made now belongs to.
[[nodiscard]] int currentRound(std::span<const ReviewPass> passes);
/// The last round that is finished or the only one, and the one before it: what is compared. Nothing with
/// one.
[[nodiscard]] std::optional<std::pair<int, int>> comparedRounds(std::span<const ReviewPass> passes);

/// The decisions that numbers go by: a pass under way changes nothing until it is finished.
[[nodiscard]] std::vector<FlagDecision> inForce(std::span<const FlagDecision> decisions,
                                                std::span<const ReviewPass> passes);
/// What a reviewer sees: during a further pass only what was decided in it.
[[nodiscard]] std::vector<FlagDecision> inSight(std::span<const FlagDecision> decisions,
                                                std::span<const ReviewPass> passes);
[[nodiscard]] std::vector<FlagDecision> ofRound(std::span<const FlagDecision> decisions, int round);

}  // namespace beatwitness::flags
