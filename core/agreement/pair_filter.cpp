#include "core/agreement/pair_filter.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::agreement {
namespace {

/// Spans in order and walked along once, as the pairs ascend.
class SpanWalk {
public:
    SpanWalk(const std::optional<std::vector<trace::SessionSpan>>& spans, bool endBelongs)
        : asks_{spans.has_value()}, endBelongs_{endBelongs} {
        if (!asks_) return;
        spans_ = *spans;
        std::ranges::sort(spans_, {}, &trace::SessionSpan::begin);
    }

    /// Requires: ascending seconds from call to call.
    [[nodiscard]] bool lets(double second) {
        if (!asks_) return true;
        for (; next_ < spans_.size() && secondsOf(spans_[next_].begin) <= second; ++next_)
            reach_ = std::max(reach_, secondsOf(spans_[next_].end));
        return endBelongs_ ? second <= reach_ : second < reach_;
    }

private:
    bool asks_;
    bool endBelongs_;
    std::vector<trace::SessionSpan> spans_;
    std::size_t next_ = 0;
    double reach_ = -1e300;  ///< latest end of the spans that have begun
};

bool inside(const RateBox& box, Bpm reference, Bpm test) {
    return box.referenceLow_bpm <= reference.value && reference.value <= box.referenceHigh_bpm &&
           box.testLow_bpm <= test.value && test.value <= box.testHigh_bpm;
}

bool along(const GuideBand& band, Bpm reference, Bpm test) {
    return std::abs(test.value - band.ratio * reference.value) <= band.halfWidth_bpm;
}

}  // namespace

trace::Pairs filtered(const trace::Pairs& pairs, const PairFilter& filter) {
    SpanWalk range{filter.range ? std::optional{std::vector{*filter.range}} : std::nullopt, true};
    SpanWalk phases{filter.phases, false}, flags{filter.flags, true};
    trace::Pairs passed;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const auto second = static_cast<double>(pairs.seconds[i]);
        // Each walk must see every second.
        const bool timely = range.lets(second) & phases.lets(second) & flags.lets(second);
        if (!timely || (filter.box && !inside(*filter.box, pairs.reference[i], pairs.test[i])) ||
            (filter.band && !along(*filter.band, pairs.reference[i], pairs.test[i])))
            continue;
        passed.seconds.push_back(pairs.seconds[i]);
        passed.reference.push_back(pairs.reference[i]);
        passed.test.push_back(pairs.test[i]);
    }
    passed.referenceSeconds = passed.size();
    return passed;
}

std::optional<Bpm> meanRate(std::span<const Bpm> rates) {
    if (rates.empty()) return std::nullopt;
    double sum = 0;
    for (const auto rate : rates)
        sum += rate.value;
    return Bpm{sum / static_cast<double>(rates.size())};
}

std::vector<trace::SessionSpan> stretchesOf(const trace::Pairs& pairs, std::int64_t bridge_s) {
    std::vector<trace::SessionSpan> stretches;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const auto second = sessionTime(static_cast<double>(pairs.seconds[i]));
        if (i == 0 || pairs.seconds[i] - pairs.seconds[i - 1] > bridge_s)
            stretches.push_back({second, second});
        else
            stretches.back().end = second;
    }
    return stretches;
}

}  // namespace beatwitness::agreement
