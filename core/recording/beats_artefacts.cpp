#include "core/recording/beats_artefacts.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <optional>

namespace beatwitness::recording {
namespace {

/// The values of a moving window, kept in order. Each step costs one binary search and a short move.
class SortedWindow {
public:
    void add(double value) { values_.insert(std::ranges::upper_bound(values_, value), value); }
    void remove(double value) { values_.erase(std::ranges::lower_bound(values_, value)); }

    /// Between the two nearest order statistics, linearly. Requires: not empty.
    [[nodiscard]] double quantile(double share) const {
        const double at = share * static_cast<double>(values_.size() - 1);
        const auto below = static_cast<std::size_t>(at);
        const std::size_t above = std::min(below + 1, values_.size() - 1);
        return values_[below] + (at - static_cast<double>(below)) * (values_[above] - values_[below]);
    }
    [[nodiscard]] double quartileDeviation() const {
        return values_.empty() ? 0.0 : (quantile(0.75) - quantile(0.25)) / 2.0;
    }

private:
    std::vector<double> values_;
};

/// Calls `atEach(i, window)` with the window of `width` values of `valueAt` around each index, narrower at
/// the ends. Values that are absent do not enter.
template <class ValueAt, class AtEach>
void slide(std::size_t count, std::size_t width, ValueAt valueAt, AtEach atEach) {
    const std::size_t half = width / 2;
    SortedWindow window;
    const auto add = [&](std::size_t i) {
        if (const std::optional<double> value = valueAt(i)) window.add(*value);
    };
    for (std::size_t i = 0; i < std::min(half, count); ++i)
        add(i);
    for (std::size_t i = 0; i < count; ++i) {
        if (i + half < count) add(i + half);
        if (i > half)
            if (const std::optional<double> value = valueAt(i - half - 1)) window.remove(*value);
        atEach(i, window);
    }
}

class Judge {
public:
    Judge(std::span<const double> intervals_ms, const std::vector<bool>& beginsRun,
          const ArtefactRules& rules)
        : intervals_(intervals_ms), beginsRun_(beginsRun), rules_(rules), judged_(intervals_ms.size()) {}

    std::vector<bool> judged() {
        const std::size_t count = intervals_.size();
        for (std::size_t i = 0; i < count; ++i)
            judged_[i] = intervals_[i] < rules_.shortest_ms || intervals_[i] > rules_.longest_ms;
        measureMedians();
        judgeDeviations();
        measureSteps();
        for (std::size_t i = 0; i < count; ++i)
            judgePattern(i);
        return std::move(judged_);
    }

private:
    [[nodiscard]] double threshold(std::size_t i, const SortedWindow& window) const {
        return std::max({rules_.factor * window.quartileDeviation(),
                         rules_.leastThreshold * static_cast<double>(medians_[i]), 1e-9});
    }

    void measureMedians() {
        medians_.resize(intervals_.size());
        slide(
            intervals_.size(), rules_.medianWindow,
            [this](std::size_t i) { return std::optional{intervals_[i]}; },
            [this](std::size_t i, const SortedWindow& window) {
                medians_[i] = static_cast<float>(window.quantile(0.5));
            });
    }

    [[nodiscard]] double deviation(std::size_t i) const {
        const double difference = intervals_[i] - static_cast<double>(medians_[i]);
        return difference < 0.0 ? 2.0 * difference : difference;
    }

    void judgeDeviations() {
        slide(
            intervals_.size(), rules_.window, [this](std::size_t i) { return std::optional{deviation(i)}; },
            [this](std::size_t i, const SortedWindow& window) {
                if (std::abs(deviation(i)) > rules_.farFromMedian * threshold(i, window)) judged_[i] = true;
            });
    }

    [[nodiscard]] std::optional<double> difference(std::size_t i) const {
        if (i == 0 || (!beginsRun_.empty() && beginsRun_[i])) return std::nullopt;
        return intervals_[i] - intervals_[i - 1];
    }

    void measureSteps() {
        steps_.resize(intervals_.size());
        slide(
            intervals_.size(), rules_.window, [this](std::size_t i) { return difference(i); },
            [this](std::size_t i, const SortedWindow& window) {
                steps_[i] = static_cast<float>(difference(i).value_or(0.0) / threshold(i, window));
            });
    }

    [[nodiscard]] double step(std::size_t i) const {
        return i < steps_.size() ? static_cast<double>(steps_[i]) : 0.0;
    }

    void judgePattern(std::size_t i) {
        if (std::abs(step(i)) <= 1.0) return;
        // The mirrored pattern is the same with its signs turned.
        const double sign = step(i) > 0.0 ? 1.0 : -1.0;
        const double here = sign * step(i), before = i > 0 ? sign * step(i - 1) : 0.0,
                     next = sign * step(i + 1), afterNext = sign * step(i + 2);
        if (std::max(before, next) < -rules_.slope * here - rules_.lift) {
            judged_[i - 1] = true;
            judged_[i] = true;
        } else if (std::min(next, afterNext) < -1.0) {
            judged_[i] = true;
            if (next >= -1.0) judged_[i + 1] = true;
        }
    }

    std::span<const double> intervals_;
    const std::vector<bool>& beginsRun_;
    ArtefactRules rules_;
    std::vector<bool> judged_;
    std::vector<float> medians_;
    std::vector<float> steps_;  ///< differences, in thresholds
};

}  // namespace

std::vector<bool> artefactsAmong(std::span<const double> intervals_ms, const std::vector<bool>& beginsRun,
                                 const ArtefactRules& rules) {
    assert(beginsRun.empty() || beginsRun.size() == intervals_ms.size());
    return Judge{intervals_ms, beginsRun, rules}.judged();
}

}  // namespace beatwitness::recording
