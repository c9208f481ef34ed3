#include "core/analysis/session_decisions.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <iterator>

#include "core/analysis/session_flags.h"

namespace beatwitness::analysis {
namespace {

using flags::Flag;
using flags::FlagDecision;
using flags::FlagKind;

void sort(std::vector<Flag>& flags) {
    std::ranges::stable_sort(flags, {}, [](const Flag& flag) { return flag.span.begin; });
}

void append(std::vector<Flag>& list, const std::vector<Flag>& more) {
    list.insert(list.end(), more.begin(), more.end());
}

/// A suspicion can be dismissed or kept; one that was made more of stands as an added flag of the reference.
std::vector<FlagDecision> onSuspicions(const std::vector<FlagDecision>& left) {
    std::vector<FlagDecision> these;
    std::ranges::copy_if(left, std::back_inserter(these), [](const FlagDecision& decision) {
        return decision.verdict == flags::Verdict::Dismissed || decision.verdict == flags::Verdict::Kept;
    });
    return these;
}

double meanOver(const trace::Pairs& pairs, const Flag& flag, std::size_t& count, auto value) {
    double sum = 0.0;
    count = 0;
    for (std::size_t i = 0; i < pairs.size(); ++i)
        if (flag.covers(static_cast<double>(pairs.seconds[i]))) {
            sum += value(i);
            ++count;
        }
    return count > 0 ? sum / static_cast<double>(count) : 0.0;
}

/// The magnitude of a flag that was decided by hand, where its kind's can be told from the pairs.
void measure(Flag& flag, const trace::Pairs& pairs) {
    std::size_t count = 0;
    switch (flag.kind) {
        case FlagKind::Dropout:
        case FlagKind::Stuck:
            flag.magnitude = secondsOf(flag.span.end) - secondsOf(flag.span.begin);
            flag.measured = true;
            return;
        case FlagKind::HalfRate:
        case FlagKind::DoubleRate:
            flag.magnitude = meanOver(pairs, flag, count, [&](std::size_t i) {
                return pairs.test[i].value / pairs.reference[i].value;
            });
            break;
        case FlagKind::Adrift:
            flag.magnitude =
                meanOver(pairs, flag, count, [&](std::size_t i) { return std::abs(pairs.error(i).value); });
            break;
        default:
            flag.magnitude = 0.0;
            return;
    }
    flag.measured = count > 0;
}

}  // namespace

std::vector<FlagDecision> picked(std::span<const FlagDecision> decisions,
                                 std::span<const std::size_t> indices) {
    std::vector<FlagDecision> these;
    for (const auto index : indices)
        these.push_back(decisions[index]);
    return these;
}

flags::SessionClocks clocksOf(const SessionAnalysis& session, std::size_t test) {
    const auto& one = session.tests[test];
    return {{one.view().correction, one.laid}, {{session.t0, {}, {}}, Micros{0}}};
}

void decide(SessionAnalysis& session, std::size_t test) {
    auto& one = session.tests[test];
    const auto clocks = clocksOf(session, test);
    const auto decisions = session.request.decisions.ofTest(test);
    auto own = flags::applyDecisions(one.found, decisions, clocks);
    const auto suspicions = flags::applyDecisions(one.suspected, onSuspicions(session.referenceLeft), clocks);
    one.flagsByHand = static_cast<int>(own.changedByHand);
    one.unmatched = picked(decisions, own.unmatched);
    one.flags = std::move(own.flags);
    append(one.flags, session.referenceFaults);
    append(one.flags, suspicions.flags);
    one.dismissed = std::move(own.dismissed);
    append(one.dismissed, session.referenceDismissed);
    append(one.dismissed, suspicions.dismissed);
    for (auto* list : {&one.flags, &one.dismissed}) {
        sort(*list);
        fillMeanErrors(*list, one.view().pairs);
    }
    for (auto& flag : one.flags)
        if (!flag.measured) measure(flag, one.view().pairs);
}

void findUnmatched(SessionAnalysis& session) {
    session.referenceUnmatched = session.referenceLeft;
    std::erase_if(session.referenceUnmatched, [&](const FlagDecision& decision) {
        const auto answers = [&](const Flag& flag) { return flag.decision == decision.id; };
        return std::ranges::any_of(session.tests, [&](const TestAnalysis& test) {
            return std::ranges::any_of(test.flags, answers) || std::ranges::any_of(test.dismissed, answers);
        });
    });
}

SessionAnalysis redecided(SessionAnalysis session, std::size_t test, std::vector<FlagDecision> decisions) {
    assert(test < session.tests.size());
    auto& all = session.request.decisions;
    all.tests.resize(std::max(all.tests.size(), test + 1));
    all.tests[test] = std::move(decisions);
    decide(session, test);
    findUnmatched(session);
    return session;
}

std::optional<double> reviewerKappa(const SessionAnalysis& session, std::size_t test,
                                    std::span<const FlagDecision> first,
                                    std::span<const FlagDecision> second) {
    const auto& seconds = session.referenceTrace.seconds;
    if (seconds.empty()) return std::nullopt;
    const auto clocks = clocksOf(session, test);
    const auto& found = session.tests[test].found;
    return flags::kappaBySecond(flags::applyDecisions(found, first, clocks).flags,
                                flags::applyDecisions(found, second, clocks).flags, 0,
                                static_cast<std::int64_t>(std::floor(seconds.back())));
}

}  // namespace beatwitness::analysis
