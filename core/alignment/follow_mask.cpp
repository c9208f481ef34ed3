#include "core/alignment/follow_mask.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::alignment {

namespace {

constexpr double normalPerDeviation = 1.4826;  // sd of a normal over its median absolute deviation

/// How far the centred test lies outside what a faithful device shows near each second; negative where there
/// is no pair.
std::vector<double> outsideBy(const Shown& shown, const std::vector<double>& test, double median) {
    std::vector<double> outside(test.size(), -1.0);
    for (std::size_t i = 0; i < test.size(); ++i) {
        if (std::isnan(test[i])) continue;
        const double centred = test[i] - median;
        outside[i] = std::max({0.0, centred - shown.highest[i], shown.lowest[i] - centred});
    }
    return outside;
}

void maskEpisodes(UsedSeconds& used, const std::vector<double>& outside, const std::vector<double>& centred,
                  double out_bpm, const MaskSettings& settings) {
    const auto n = static_cast<std::int64_t>(used.size());
    const auto away = [&](std::int64_t i) {
        return std::isnan(centred[i]) || std::abs(centred[i]) > settings.back_bpm;
    };
    for (std::int64_t i = 0; i < n; ++i) {
        if (outside[i] <= out_bpm) continue;
        std::int64_t begin = i, end = i;
        while (begin > 0 && away(begin - 1))
            --begin;
        while (end + 1 < n && away(end + 1))
            ++end;
        const std::int64_t from = std::max<std::int64_t>(0, begin - settings.guard_s);
        const std::int64_t to = std::min(n - 1, end + settings.guard_s);
        for (std::int64_t j = from; j <= to; ++j)
            used[j] = 0;
        i = end;
    }
}

/// Stretches in which `still` keeps one value while `other` moves. Both by reference second, NaN where there
/// is none.
void maskStuck(UsedSeconds& used, const std::vector<double>& still, const std::vector<double>& other,
               const MaskSettings& settings) {
    const auto n = static_cast<std::int64_t>(still.size());
    for (std::int64_t i = 0; i < n;) {
        double low = still[i], high = still[i], otherLow = other[i], otherHigh = other[i];
        std::int64_t end = i;
        for (; end < n && !std::isnan(still[end]) && !std::isnan(other[end]); ++end) {
            const double nextLow = std::min(low, still[end]), nextHigh = std::max(high, still[end]);
            if (nextHigh - nextLow > settings.stuckSpan_bpm) break;
            low = nextLow;
            high = nextHigh;
            otherLow = std::min(otherLow, other[end]);
            otherHigh = std::max(otherHigh, other[end]);
        }
        const bool stuck = end - i >= settings.stuck_s && otherHigh - otherLow >= settings.moving_bpm;
        if (stuck)
            for (std::int64_t j = std::max<std::int64_t>(0, i - settings.guard_s);
                 j < std::min(n, end + settings.guard_s); ++j)
                used[j] = 0;
        // Half a stretch on, so that no start is missed by much and the walk stays linear.
        i = stuck || end - i < 2 ? std::max(end, i + 1) : i + (end - i) / 2;
    }
}

double medianOf(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

}  // namespace

UsedSeconds usedSeconds(const SecondGrid& reference, const Shown& shown, const SecondGrid& test,
                        const ClockFit& fit, const MaskSettings& settings) {
    const auto values = testOnReference(reference, test, fit);
    std::vector<double> differences;
    UsedSeconds used(values.size(), 0);
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i])) continue;
        used[i] = 1;
        differences.push_back(values[i] - shown.values[i]);
    }
    if (differences.empty()) return used;
    const double median = medianOf(differences);
    for (double& difference : differences)
        difference = std::abs(difference - median);
    const double noise_bpm = normalPerDeviation * medianOf(std::move(differences));
    const double out_bpm =
        std::clamp(settings.outNoise * noise_bpm, settings.leastOut_bpm, settings.mostOut_bpm);
    std::vector<double> centred(values.size()), paired(values.size());
    for (std::size_t i = 0; i < values.size(); ++i) {
        centred[i] = values[i] - shown.values[i] - median;
        paired[i] = std::isnan(values[i]) ? values[i] : reference.values[i];
    }
    maskEpisodes(used, outsideBy(shown, values, median), centred, out_bpm, settings);
    maskStuck(used, values, paired, settings);
    maskStuck(used, paired, values, settings);
    return used;
}

}  // namespace beatwitness::alignment
