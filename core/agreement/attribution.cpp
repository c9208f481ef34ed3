#include "core/agreement/attribution.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::agreement {
namespace {

using Part = Attribution::Part;

constexpr double tolerance_bpm = 5.0;
constexpr double toleranceShare = 0.1;

/// For each pair the place of the first kind whose flag covers it, or the number of kinds.
std::vector<std::size_t> kindOfEach(const trace::Pairs& pairs, std::span<const flags::Flag> flags) {
    constexpr std::size_t none = flags::allFlagKinds.size();
    std::vector<std::size_t> kinds(pairs.size(), none);
    for (const auto& flag : flags) {
        if (flag.on != flags::FlaggedTrace::Test) continue;
        const auto place = static_cast<std::size_t>(flag.kind);
        const auto before = [](std::int64_t second, double t) { return static_cast<double>(second) < t; };
        const auto first =
            std::lower_bound(pairs.seconds.begin(), pairs.seconds.end(), secondsOf(flag.span.begin), before);
        for (auto i = static_cast<std::size_t>(first - pairs.seconds.begin());
             i < pairs.size() && flag.covers(static_cast<double>(pairs.seconds[i])); ++i)
            kinds[i] = std::min(kinds[i], place);
    }
    return kinds;
}

AttributionRow row(std::string_view kind, const Part& part, const Part& total) {
    return {kind, part.seconds, BpmDelta{part.absolute / total.seconds},
            Percent{total.absolute > 0 ? 100 * part.absolute / total.absolute : 0.0}};
}

}  // namespace

Part& Part::operator+=(const Part& other) {
    seconds += other.seconds;
    absolute += other.absolute;
    return *this;
}

Part Attribution::total() const {
    Part sum;
    for (const auto& part : kinds)
        sum += part;
    sum += withinTolerance;
    return sum += noFlag;
}

Attribution& Attribution::operator+=(const Attribution& other) {
    for (std::size_t i = 0; i < kinds.size(); ++i)
        kinds[i] += other.kinds[i];
    withinTolerance += other.withinTolerance;
    noFlag += other.noFlag;
    return *this;
}

Attribution attributionOf(const trace::Pairs& pairs, std::span<const flags::Flag> flags) {
    const auto kinds = kindOfEach(pairs, flags);
    Attribution sums;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const double error_bpm = std::abs(pairs.error(i).value);
        const bool tolerated =
            error_bpm <= std::max(tolerance_bpm, toleranceShare * pairs.reference[i].value);
        Part& part = kinds[i] < sums.kinds.size() ? sums.kinds[kinds[i]]
                     : tolerated                  ? sums.withinTolerance
                                                  : sums.noFlag;
        part += {1, error_bpm};
    }
    return sums;
}

std::vector<AttributionRow> attributionRows(const Attribution& sums) {
    const Part total = sums.total();
    if (total.seconds == 0) return {};
    std::vector<AttributionRow> rows;
    for (const auto kind : flags::allFlagKinds)
        if (const auto& part = sums.kinds[static_cast<std::size_t>(kind)]; part.seconds > 0)
            rows.push_back(row(flags::flagKindName(kind), part, total));
    rows.push_back(row("within tolerance", sums.withinTolerance, total));
    rows.push_back(row("no flag", sums.noFlag, total));
    return rows;
}

}  // namespace beatwitness::agreement
