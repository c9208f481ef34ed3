#include "core/alignment/offset_interval.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <cstdint>
#include <vector>

namespace beatwitness::alignment {
namespace {

constexpr double normal975 = 1.959963984540054;
constexpr std::size_t mostBlocks = 150;
constexpr double roundingNoise_bpm = 0.15;  // of whole-bpm rates after smoothing
constexpr double noiseSpan_s = 11.0;        // seconds that one independent reading of smoothed noise spans

/// SplitMix64: small, fast and the same everywhere, which std distributions are not.
class Draws {
public:
    std::size_t below(std::size_t n) {
        state_ += 0x9E3779B97F4A7C15u;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
        z ^= z >> 31;
        return static_cast<std::size_t>(z % n);  // n is at most thousands: the bias is below 1e-15
    }

private:
    std::uint64_t state_ = 20310302;
};

double quantile(const std::vector<double>& sorted, double p) {
    const double at = p * static_cast<double>(sorted.size() - 1);
    const auto i = static_cast<std::size_t>(at);
    if (i + 1 >= sorted.size()) return sorted.back();
    return sorted[i] + (at - static_cast<double>(i)) * (sorted[i + 1] - sorted[i]);
}

/// Percentile interval of the steps, as an interval about `estimate`, widened for `blocks` blocks.
Interval interval(std::vector<double> steps, double estimate, std::size_t blocks, double floor) {
    std::ranges::sort(steps);
    const double k = static_cast<double>(blocks);
    const double t = boost::math::quantile(boost::math::students_t(k - 1), 0.975);
    const double widening = std::sqrt(k / (k - 1)) * t / normal975;
    const double below = widening * quantile(steps, 0.025), above = widening * quantile(steps, 0.975);
    return {estimate - std::hypot(std::min(below, 0.0), floor),
            estimate + std::hypot(std::max(above, 0.0), floor)};
}

/// Neighbours added up until at most mostBlocks are left: in a long session a block must hold a rise and the
/// fall after it, which a smoothing device shifts to opposite sides; half of such a pair would pass for news
/// of its own.
std::vector<BlockSums> merged(const std::vector<BlockSums>& blocks) {
    const std::size_t together = (blocks.size() + mostBlocks - 1) / mostBlocks;
    std::vector<BlockSums> out;
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        if (i % together == 0) out.emplace_back();
        out.back() += blocks[i];
    }
    return out;
}

}  // namespace

std::optional<FitIntervals> bootstrapIntervals(const FineFit& fit, Drift drift, int replicates) {
    const auto drawn = merged(fit.blocks);
    const std::size_t blocks = drawn.size();
    if (blocks < 4) return std::nullopt;
    // The valley is that of the whole session; a resample moves only its bottom. Taking the valley from each
    // resample too would let a few flat ones stretch the interval without end.
    const Curvature curvature = curvatureOf(total(fit.blocks));
    Draws draws;
    std::vector<double> offsets, drifts;
    for (int replicate = 0; replicate < replicates; ++replicate) {
        BlockSums sums;
        for (std::size_t i = 0; i < blocks; ++i)
            sums += drawn[draws.below(blocks)];
        const Gradient gradient = gradientOf(sums);
        const auto alone = newtonStep(gradient, curvature, Drift::None);
        const auto both = newtonStep(gradient, curvature, Drift::Fitted);
        if (!alone.ok || (drift == Drift::Fitted && !both.ok)) return std::nullopt;
        if (both.ok) drifts.push_back(both.drift_ppm);
        // The step is at the centre of the session; the offset is wanted at t0.
        offsets.push_back(drift == Drift::None ? alone.offset_s
                                               : both.offset_s - fit.centre_s * both.drift_ppm * 1e-6);
    }
    // Rates are rounded: a valley so shallow that rounding could move its bottom must not look sharp.
    const double samples = total(fit.blocks).n / noiseSpan_s;
    const double floor_s =
        normal975 * roundingNoise_bpm / std::sqrt(samples * std::max(curvature.offset, 1e-12));
    FitIntervals result;
    result.withinOneSecond =
        static_cast<double>(std::ranges::count_if(offsets, [](double s) { return std::abs(s) <= 1.0; })) /
        static_cast<double>(offsets.size());
    result.offset_s = interval(std::move(offsets), fit.fit.offset_s, blocks, floor_s);
    if (!drifts.empty()) result.drift_ppm = interval(std::move(drifts), fit.fit.drift_ppm, blocks, 0.0);
    return result;
}

}  // namespace beatwitness::alignment
