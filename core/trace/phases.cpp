#include "core/trace/phases.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <utility>

namespace beatwitness::trace {
namespace {

constexpr std::array<std::string_view, phaseKinds> kindNames{"warm-up", "effort", "recovery",  "rest", "set",
                                                             "rise",    "steady", "cool-down", "other"};
constexpr std::array<std::string_view, 4> originNames{"hand", "lap", "suggestion", "copy"};

template <class Enum, std::size_t size>
std::optional<Enum> valueOf(const std::array<std::string_view, size>& names, std::string_view name) {
    const auto found = std::ranges::find(names, name);
    if (found == names.end()) return std::nullopt;
    return static_cast<Enum>(found - names.begin());
}

Fault refused(std::string sentence) {
    return {FaultCode::WrongUsage, std::move(sentence), {}, {}, {}};
}

bool tooShort(const Span<ReferenceClock>& span) {
    return toSeconds(span.end - span.begin).value < shortestPhase.value;
}

bool overlap(const Phase& a, const Phase& b) {
    return a.span.begin < b.span.end && b.span.begin < a.span.end;
}

bool holds(const Phase& outer, const Phase& inner) {
    return outer.span.begin <= inner.span.begin && inner.span.end <= outer.span.end;
}

/// Lowest level for `phase` among those before it, which begin no later and are longer where they begin with
/// it, so that every phase that holds it is among them.
int freeLevel(std::span<const Phase> before, const Phase& phase) {
    int level = 0;
    for (const auto& other : before)
        if (holds(other, phase)) level = std::max(level, other.level + 1);
    const auto taken = [&](const Phase& other) { return other.level == level && overlap(other, phase); };
    while (std::ranges::any_of(before, taken))
        ++level;
    return level;
}

}  // namespace

std::string_view phaseKindName(PhaseKind kind) {
    return kindNames[static_cast<std::size_t>(kind)];
}

std::optional<PhaseKind> phaseKindOf(std::string_view name) {
    return valueOf<PhaseKind>(kindNames, name);
}

std::string_view phaseOriginName(PhaseOrigin origin) {
    return originNames[static_cast<std::size_t>(origin)];
}

std::optional<PhaseOrigin> phaseOriginOf(std::string_view name) {
    return valueOf<PhaseOrigin>(originNames, name);
}

std::string phaseLabel(const Phase& phase) {
    return phase.label.empty() ? std::string{phaseKindName(phase.kind)} : phase.label;
}

Result<PhasePlan> levelled(std::vector<Phase> phases) {
    std::ranges::stable_sort(phases, [](const Phase& a, const Phase& b) {
        return a.span.begin != b.span.begin ? a.span.begin < b.span.begin : a.span.end > b.span.end;
    });
    for (std::size_t i = 0; i < phases.size(); ++i) {
        if (tooShort(phases[i].span))
            return refused(
                fmt::format("a phase must last {} s or more and end after it begins", shortestPhase.value));
        phases[i].level = freeLevel(std::span(phases).first(i), phases[i]);
        if (phases[i].level >= deepestLevels)
            return refused(fmt::format("phases can lie {} deep at most", deepestLevels));
    }
    return phases;
}

Result<PhasePlan> withPhase(PhasePlan plan, Phase phase) {
    plan.push_back(std::move(phase));
    return levelled(std::move(plan));
}

Result<PhasePlan> withSpan(PhasePlan plan, std::size_t index, Span<ReferenceClock> span) {
    assert(index < plan.size());
    plan[index].span = span;
    return levelled(std::move(plan));
}

PhasePlan withoutPhase(PhasePlan plan, std::size_t index) {
    assert(index < plan.size());
    plan.erase(plan.begin() + static_cast<std::ptrdiff_t>(index));
    auto rest = levelled(std::move(plan));
    assert(rest);  // fewer phases never lie deeper
    return std::move(*rest);
}

Result<PhasePlan> splitPhase(PhasePlan plan, std::size_t index, ReferenceTime at) {
    assert(index < plan.size());
    Phase second = plan[index];
    second.span.begin = at;
    plan[index].span.end = at;
    if (tooShort(plan[index].span) || tooShort(second.span))
        return refused("a phase is split inside, a second or more from either end");
    plan.push_back(std::move(second));
    return levelled(std::move(plan));
}

Result<PhasePlan> joinWithNext(PhasePlan plan, std::size_t index) {
    assert(index < plan.size());
    for (std::size_t next = index + 1; next < plan.size(); ++next) {
        if (plan[next].level != plan[index].level) continue;
        plan[index].span.end = plan[next].span.end;
        plan.erase(plan.begin() + static_cast<std::ptrdiff_t>(next));
        return levelled(std::move(plan));
    }
    return refused("there is no later phase on this level to join with");
}

PhasePlan shiftedInto(const PhasePlan& plan, Micros shift, Span<ReferenceClock> within) {
    std::vector<Phase> moved;
    for (Phase phase : plan) {
        phase.span.begin = std::max(phase.span.begin + shift, within.begin);
        phase.span.end = std::min(phase.span.end + shift, within.end);
        phase.origin = PhaseOrigin::Copy;
        if (!tooShort(phase.span)) moved.push_back(std::move(phase));
    }
    auto result = levelled(std::move(moved));
    assert(result);
    return std::move(*result);
}

std::optional<std::size_t> innermostAt(const PhasePlan& plan, ReferenceTime time) {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < plan.size(); ++i)
        if (plan[i].span.begin <= time && time < plan[i].span.end &&
            (!found || plan[i].level >= plan[*found].level))
            found = i;
    return found;
}

std::vector<Phase> lapPhases(std::span<const recording::Lap> laps, Micros shift) {
    std::vector<Phase> phases;
    for (const auto& lap : laps) {
        Phase phase;
        phase.span = {ReferenceTime{lap.span.begin.time_since_epoch() + shift},
                      ReferenceTime{lap.span.end.time_since_epoch() + shift}};
        phase.origin = PhaseOrigin::Lap;
        phase.label = lap.label.empty() ? fmt::format("lap {}", phases.size() + 1) : lap.label;
        if (!tooShort(phase.span)) phases.push_back(std::move(phase));
    }
    return phases;
}

}  // namespace beatwitness::trace
