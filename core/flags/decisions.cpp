#include "core/flags/decisions.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

namespace beatwitness::flags {
namespace {

constexpr std::array allVerdicts{Verdict::Kept, Verdict::Dismissed, Verdict::Relabelled, Verdict::Added,
                                 Verdict::Moved};

/// Shared part of two stretches over both together; a second on its own is one second long.
double overlapShare(const trace::SessionSpan& a, const trace::SessionSpan& b) {
    const double begin = std::max(secondsOf(a.begin), secondsOf(b.begin));
    const double end = std::min(secondsOf(a.end), secondsOf(b.end));
    const double both =
        std::max(secondsOf(a.end), secondsOf(b.end)) - std::min(secondsOf(a.begin), secondsOf(b.begin));
    return std::max(0.0, end - begin + 1.0) / (both + 1.0);
}

/// Applies decisions one after the other; each flag answers one of them at most.
class Decider {
public:
    Decider(std::span<const Flag> flags, const SessionClocks& clocks, double leastOverlap)
        : flags_(flags.begin(), flags.end()),
          answered_(flags.size(), 0),
          dismissed_(flags.size(), 0),
          clocks_(clocks),
          leastOverlap_(leastOverlap) {}

    void apply(const FlagDecision& decision, std::size_t index) {
        const auto span = clockOf(decision).toSession(decision.span);
        if (decision.verdict == Verdict::Added) {
            add(decision, span);
            return;
        }
        const auto found = flagUnder(decision, span);
        if (!found) {
            result_.unmatched.push_back(index);
            if (decision.verdict == Verdict::Moved || decision.verdict == Verdict::Relabelled)
                add(decision, span);
            return;
        }
        answered_[*found] = 1;
        change(decision, *found);
    }

    DecidedFlags finish() {
        for (std::size_t i = 0; i < dismissed_.size(); ++i)
            (dismissed_[i] ? result_.dismissed : result_.flags).push_back(std::move(flags_[i]));
        for (auto& flag : added_)
            result_.flags.push_back(std::move(flag));
        for (auto* list : {&result_.flags, &result_.dismissed})
            std::ranges::stable_sort(*list, {}, [](const Flag& flag) { return flag.span.begin; });
        return std::move(result_);
    }

private:
    [[nodiscard]] const TraceClock& clockOf(const FlagDecision& decision) const {
        return decision.on == FlaggedTrace::Test ? clocks_.test : clocks_.reference;
    }

    [[nodiscard]] std::optional<std::size_t> flagUnder(const FlagDecision& decision,
                                                       const trace::SessionSpan& span) const {
        std::optional<std::size_t> best;
        double most = 0.0;
        for (std::size_t i = 0; i < dismissed_.size(); ++i) {
            if (answered_[i] || flags_[i].on != decision.on) continue;
            const double share = overlapShare(flags_[i].span, span);
            if (share < leastOverlap_) continue;
            const double worth = share + (flags_[i].kind == decision.kind ? 1.0 : 0.0);
            if (worth <= most) continue;
            most = worth;
            best = i;
        }
        return best;
    }

    void change(const FlagDecision& decision, std::size_t i) {
        Flag& flag = flags_[i];
        answer(decision, flag);
        if (decision.verdict == Verdict::Kept &&
            (!decision.excludes || *decision.excludes == flag.excluded)) {
            ++result_.kept;
            return;
        }
        ++result_.changedByHand;
        if (decision.verdict == Verdict::Dismissed) {
            dismissed_[i] = 1;
            flag.excluded = false;
            return;
        }
        flag.byHand = true;
        reshape(decision, flag);
    }

    void add(const FlagDecision& decision, const trace::SessionSpan& span) {
        Flag flag;
        flag.on = decision.on;
        flag.kind = decision.kind;
        flag.span = span;
        flag.byHand = true;
        flag.measured = false;
        flag.because = decision.verdict == Verdict::Added
                           ? "Added by hand."
                           : "Decided by hand; the analysis finds no flag here any more.";
        answer(decision, flag);
        reshape(decision, flag);
        ++result_.changedByHand;
        added_.push_back(std::move(flag));
    }

    static void answer(const FlagDecision& decision, Flag& flag) {
        flag.decision = decision.id;
        flag.verdict = decision.verdict;
        flag.note = decision.note;
    }

    void reshape(const FlagDecision& decision, Flag& flag) const {
        if (decision.newKind || decision.newSpan) flag.measured = false;
        if (decision.newKind) flag.kind = *decision.newKind;
        if (decision.newSpan) flag.span = clockOf(decision).toSession(*decision.newSpan);
        if (decision.excludes) flag.excluded = decision.on == FlaggedTrace::Reference && *decision.excludes;
        flag.unit = magnitudeUnit(flag.kind);
    }

    std::vector<Flag> flags_;
    std::vector<std::uint8_t> answered_, dismissed_;
    std::vector<Flag> added_;
    const SessionClocks& clocks_;
    double leastOverlap_;
    DecidedFlags result_;
};

/// Indices of the decisions that count: of those on one trace that overlap, those of the latest round.
std::vector<std::size_t> latest(std::span<const FlagDecision> decisions, double leastOverlap) {
    const auto plain = [](const Span<RecordingClock>& span) {
        const auto seconds = [](RecordingTime time) { return toSeconds(time.time_since_epoch()).value; };
        return trace::SessionSpan{sessionTime(seconds(span.begin)), sessionTime(seconds(span.end))};
    };
    std::vector<std::size_t> indices;
    for (std::size_t i = 0; i < decisions.size(); ++i) {
        const bool overruled = std::ranges::any_of(decisions, [&](const FlagDecision& other) {
            return other.on == decisions[i].on && other.round > decisions[i].round &&
                   overlapShare(plain(other.span), plain(decisions[i].span)) >= leastOverlap;
        });
        if (!overruled) indices.push_back(i);
    }
    return indices;
}

constexpr std::size_t noKind = allFlagKinds.size();

/// Class of every second: place of the first kind in precedence, or noKind.
std::vector<std::size_t> classesOf(std::span<const Flag> flags, std::int64_t begin_s, std::int64_t end_s) {
    std::vector<std::size_t> classes(static_cast<std::size_t>(end_s - begin_s + 1), noKind);
    for (const auto& flag : flags) {
        if (flag.on != FlaggedTrace::Test) continue;
        const double from = std::max(std::ceil(secondsOf(flag.span.begin)), static_cast<double>(begin_s));
        const double to = std::min(std::floor(secondsOf(flag.span.end)), static_cast<double>(end_s));
        for (double t = from; t <= to; ++t) {
            auto& place = classes[static_cast<std::size_t>(static_cast<std::int64_t>(t) - begin_s)];
            place = std::min(place, static_cast<std::size_t>(flag.kind));
        }
    }
    return classes;
}

}  // namespace

std::string_view verdictName(Verdict verdict) {
    switch (verdict) {
        case Verdict::Kept:
            return "kept";
        case Verdict::Dismissed:
            return "dismissed";
        case Verdict::Relabelled:
            return "relabelled";
        case Verdict::Added:
            return "added";
        case Verdict::Moved:
            return "moved";
    }
    assert(false);
    return "kept";
}

std::optional<Verdict> verdictOf(std::string_view name) {
    for (const auto verdict : allVerdicts)
        if (verdictName(verdict) == name) return verdict;
    return std::nullopt;
}

DecidedFlags applyDecisions(std::span<const Flag> flags, std::span<const FlagDecision> decisions,
                            const SessionClocks& clocks, double leastOverlap) {
    Decider decider{flags, clocks, leastOverlap};
    for (const auto index : latest(decisions, leastOverlap))
        decider.apply(decisions[index], index);
    return decider.finish();
}

std::optional<double> kappaBySecond(std::span<const Flag> first, std::span<const Flag> second,
                                    std::int64_t begin_s, std::int64_t end_s) {
    if (end_s < begin_s) return std::nullopt;
    const auto a = classesOf(first, begin_s, end_s), b = classesOf(second, begin_s, end_s);
    std::array<double, noKind + 1> inFirst{}, inSecond{};
    double same = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        inFirst[a[i]] += 1.0;
        inSecond[b[i]] += 1.0;
        same += a[i] == b[i] ? 1.0 : 0.0;
    }
    const auto n = static_cast<double>(a.size());
    double byChance = 0.0;
    for (std::size_t k = 0; k <= noKind; ++k)
        byChance += inFirst[k] / n * (inSecond[k] / n);
    if (byChance >= 1.0) return std::nullopt;
    return (same / n - byChance) / (1.0 - byChance);
}

}  // namespace beatwitness::flags
