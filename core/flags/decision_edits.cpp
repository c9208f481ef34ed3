#include "core/flags/decision_edits.h"

#include <algorithm>

namespace beatwitness::flags {
namespace {

FlagDecision fresh(const Flag& flag, const Deciding& how) {
    FlagDecision decision;
    decision.id = how.nextId;
    decision.on = flag.on;
    decision.kind = flag.kind;
    decision.span = how.clock.toRecording(flag.span);
    return decision;
}

/// An added flag has no other self: what it becomes is what was added.
void changeAdded(FlagDecision& decision, const FlagChange& change, const TraceClock& clock) {
    if (change.kind) decision.kind = *change.kind;
    if (change.span) decision.span = clock.toRecording(*change.span);
}

void changeFound(FlagDecision& decision, const FlagChange& change, const TraceClock& clock) {
    switch (change.verdict) {
        case Verdict::Kept:
        case Verdict::Dismissed:
            decision.verdict = change.verdict;
            decision.newKind.reset();
            decision.newSpan.reset();
            break;
        case Verdict::Relabelled:
            decision.newKind = change.kind;
            if (decision.newKind == decision.kind) decision.newKind.reset();
            break;
        case Verdict::Moved:
            if (change.span) decision.newSpan = clock.toRecording(*change.span);
            break;
        case Verdict::Added:
            break;
    }
    if (change.verdict == Verdict::Kept || change.verdict == Verdict::Dismissed) return;
    decision.verdict = decision.newKind   ? Verdict::Relabelled
                       : decision.newSpan ? Verdict::Moved
                                          : Verdict::Kept;
}

}  // namespace

std::vector<FlagDecision> decided(std::vector<FlagDecision> decisions, const Flag& flag,
                                  const FlagChange& change, const Deciding& how) {
    auto found =
        flag.decision == 0 ? decisions.end() : std::ranges::find(decisions, flag.decision, &FlagDecision::id);
    if (found == decisions.end()) found = decisions.insert(decisions.end(), fresh(flag, how));
    if (found->verdict == Verdict::Added && change.verdict == Verdict::Dismissed) {
        decisions.erase(found);
        return decisions;
    }
    if (found->verdict == Verdict::Added)
        changeAdded(*found, change, how.clock);
    else
        changeFound(*found, change, how.clock);
    if (change.excludes) found->excludes = change.excludes;
    if (change.note) found->note = *change.note;
    found->blind = how.blind;
    found->round = how.round;
    found->at = how.at;
    return decisions;
}

std::vector<FlagDecision> withAdded(std::vector<FlagDecision> decisions, FlaggedTrace on, FlagKind kind,
                                    const trace::SessionSpan& span, const Deciding& how) {
    FlagDecision decision;
    decision.id = how.nextId;
    decision.verdict = Verdict::Added;
    decision.on = on;
    decision.kind = kind;
    decision.span = how.clock.toRecording(span);
    // Who marks the reference as wrong wants its seconds out.
    if (on == FlaggedTrace::Reference) decision.excludes = true;
    decision.blind = how.blind;
    decision.round = how.round;
    decision.at = how.at;
    decisions.push_back(std::move(decision));
    return decisions;
}

std::vector<FlagDecision> withoutDecision(std::vector<FlagDecision> decisions, std::int64_t id) {
    std::erase_if(decisions, [id](const FlagDecision& decision) { return decision.id == id; });
    return decisions;
}

}  // namespace beatwitness::flags
