#include "core/flags/flag_order.h"

#include <algorithm>
#include <iterator>
#include <tuple>

namespace beatwitness::flags {
namespace {

double length(const Flag& flag) {
    return secondsOf(flag.span.end) - secondsOf(flag.span.begin);
}

void join(Flag& into, const Flag& other) {
    const auto begin = std::min(into.span.begin, other.span.begin);
    const auto end = std::max(into.span.end, other.span.end);
    const bool lengths = into.kind == FlagKind::Dropout || into.kind == FlagKind::Stuck;
    const double sum = into.magnitude + other.magnitude;
    const bool excluded = into.excluded || other.excluded;
    if (length(other) > length(into)) into = other;
    if (lengths) into.magnitude = sum;
    into.span = {begin, end};
    into.excluded = excluded;
}

constexpr double leastPiece_s = 3.0;

void addPiece(std::vector<Flag>& pieces, const Flag& flag, double begin_s, double end_s, bool cut) {
    if (end_s < begin_s || (cut && end_s - begin_s + 1 < leastPiece_s)) return;
    pieces.push_back(flag);
    pieces.back().span = {sessionTime(begin_s), sessionTime(end_s)};
}

}  // namespace

std::vector<Flag> withoutDropouts(const std::vector<Flag>& flags) {
    std::vector<Flag> dropouts, pieces;
    std::ranges::copy_if(flags, std::back_inserter(dropouts),
                         [](const Flag& flag) { return flag.kind == FlagKind::Dropout; });
    std::ranges::sort(dropouts, {}, [](const Flag& flag) { return flag.span.begin; });
    for (const auto& flag : flags) {
        double begin_s = secondsOf(flag.span.begin);
        bool cut = false;
        for (const auto& dropout : dropouts) {
            if (flag.kind == FlagKind::Dropout || dropout.on != flag.on) continue;
            if (secondsOf(dropout.span.end) < begin_s || dropout.span.begin > flag.span.end) continue;
            addPiece(pieces, flag, begin_s, secondsOf(dropout.span.begin) - 1, true);
            begin_s = secondsOf(dropout.span.end) + 1;
            cut = true;
        }
        addPiece(pieces, flag, begin_s, secondsOf(flag.span.end), cut);
    }
    return pieces;
}

std::vector<Flag> joinedFlags(std::vector<Flag> flags, double join_s) {
    std::ranges::stable_sort(flags, {}, [](const Flag& flag) {
        return std::tuple{flag.on, flag.kind, flag.span.begin};
    });
    std::vector<Flag> joined;
    for (auto& flag : flags) {
        const bool same = !joined.empty() && joined.back().on == flag.on && joined.back().kind == flag.kind;
        if (same && secondsOf(flag.span.begin) - secondsOf(joined.back().span.end) <= join_s)
            join(joined.back(), flag);
        else
            joined.push_back(std::move(flag));
    }
    std::ranges::stable_sort(joined, {}, [](const Flag& flag) { return flag.span.begin; });
    return joined;
}

}  // namespace beatwitness::flags
