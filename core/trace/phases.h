#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/foundation/result.h"
#include "core/recording/recording.h"

namespace beatwitness::trace {

/// What a stretch of a session was. In the order of the keys 1 to 9.
enum class PhaseKind { WarmUp, Effort, Recovery, Rest, Set, Rise, Steady, CoolDown, Other };
inline constexpr int phaseKinds = 9;

/// As files and verbs write it: `warm-up`, `effort`, …
[[nodiscard]] std::string_view phaseKindName(PhaseKind kind);
[[nodiscard]] std::optional<PhaseKind> phaseKindOf(std::string_view name);

/// Where a phase came from.
enum class PhaseOrigin { Hand, Lap, Suggestion, Copy };

/// `hand`, `lap`, `suggestion`, `copy`.
[[nodiscard]] std::string_view phaseOriginName(PhaseOrigin origin);
[[nodiscard]] std::optional<PhaseOrigin> phaseOriginOf(std::string_view name);

/// A stretch of a session, on the reference's clock.
struct Phase {
    Span<ReferenceClock> span{};
    PhaseKind kind = PhaseKind::Other;
    PhaseOrigin origin = PhaseOrigin::Hand;
    int level = 0;      ///< 0 outermost; given by levelled()
    std::string label;  ///< as people call it; empty: the kind's name stands for it

    friend bool operator==(const Phase& a, const Phase& b) {
        return a.span.begin == b.span.begin && a.span.end == b.span.end && a.kind == b.kind &&
               a.origin == b.origin && a.level == b.level && a.label == b.label;
    }
};

/// The label, or the kind's name where there is none.
[[nodiscard]] std::string phaseLabel(const Phase& phase);

/// The phases of a session: by begin, the longer first; no two of one level overlap (touching is none); a
/// phase lies deeper than every phase that holds it. Every function below gives such a plan, or a fault
/// (WrongUsage, one sentence) and the old one stands.
using PhasePlan = std::vector<Phase>;

/// Phases may be nested this deep.
inline constexpr int deepestLevels = 4;
/// No phase is shorter.
inline constexpr Seconds shortestPhase{1.0};

/// `phases` in order, each on the lowest level that is free and deeper than all that hold it. Faults: a phase
/// shorter than shortestPhase, more than deepestLevels levels.
[[nodiscard]] Result<PhasePlan> levelled(std::vector<Phase> phases);

[[nodiscard]] Result<PhasePlan> withPhase(PhasePlan plan, Phase phase);
[[nodiscard]] Result<PhasePlan> withSpan(PhasePlan plan, std::size_t index, Span<ReferenceClock> span);
[[nodiscard]] PhasePlan withoutPhase(PhasePlan plan, std::size_t index);
/// Two phases in place of one. Faults: `at` leaves a part that is too short.
[[nodiscard]] Result<PhasePlan> splitPhase(PhasePlan plan, std::size_t index, ReferenceTime at);
/// One phase in place of this and the next of its level, called as the first. Faults: there is none.
[[nodiscard]] Result<PhasePlan> joinWithNext(PhasePlan plan, std::size_t index);

/// The plan `shift` later, for another session; what lies outside `within` goes, what sticks out is cut.
[[nodiscard]] PhasePlan shiftedInto(const PhasePlan& plan, Micros shift, Span<ReferenceClock> within);

/// Innermost phase at `time` (the begin belongs to it, the end does not).
[[nodiscard]] std::optional<std::size_t> innermostAt(const PhasePlan& plan, ReferenceTime time);

/// A lap is a proposal for a phase: laps of the reference as they are, of another recording moved by `shift`.
[[nodiscard]] std::vector<Phase> lapPhases(std::span<const recording::Lap> laps, Micros shift);

}  // namespace beatwitness::trace
