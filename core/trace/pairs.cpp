#include "core/trace/pairs.h"

#include <algorithm>

namespace beatwitness::trace {
namespace {

/// Spans in order, overlaps merged, so that one pass along the seconds suffices.
std::vector<SessionSpan> inOrder(std::span<const SessionSpan> spans) {
    std::vector<SessionSpan> sorted(spans.begin(), spans.end());
    std::ranges::sort(sorted, {}, &SessionSpan::begin);
    std::vector<SessionSpan> merged;
    for (const auto& span : sorted) {
        if (!merged.empty() && span.begin <= merged.back().end)
            merged.back().end = std::max(merged.back().end, span.end);
        else
            merged.push_back(span);
    }
    return merged;
}

}  // namespace

Pairs pairSeconds(const SecondlyRates& reference, const SecondlyRates& test,
                  std::span<const SessionSpan> excluded) {
    const auto spans = inOrder(excluded);
    std::size_t span = 0;
    std::size_t j = 0;
    Pairs pairs;
    const std::size_t most = std::min(reference.seconds.size(), test.seconds.size());
    pairs.seconds.reserve(most);
    pairs.reference.reserve(most);
    pairs.test.reserve(most);
    for (std::size_t i = 0; i < reference.seconds.size(); ++i) {
        const std::int64_t second = reference.seconds[i];
        const auto time = sessionTime(static_cast<double>(second));
        while (span < spans.size() && spans[span].end < time)
            ++span;
        if (span < spans.size() && spans[span].begin <= time) continue;
        ++pairs.referenceSeconds;
        while (j < test.seconds.size() && test.seconds[j] < second)
            ++j;
        if (j == test.seconds.size() || test.seconds[j] != second) continue;
        pairs.seconds.push_back(second);
        pairs.reference.push_back(reference.rates[i]);
        pairs.test.push_back(test.rates[j]);
    }
    return pairs;
}

}  // namespace beatwitness::trace
