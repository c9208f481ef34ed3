#include "core/flags/flag_order.h"

#include <algorithm>
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

}  // namespace

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
