#include "core/alignment/block_sums.h"

namespace beatwitness::alignment {

namespace {

constexpr double leastCurvature = 0.03;  // of what the slopes alone would give

}  // namespace

BlockSums& BlockSums::operator+=(const BlockSums& other) {
    n += other.n;
    d += other.d;
    dd += other.dd;
    x += other.x;
    xx += other.xx;
    xd += other.xd;
    w += other.w;
    wd += other.wd;
    tx += other.tx;
    txx += other.txx;
    txd += other.txd;
    tw += other.tw;
    twd += other.twd;
    ttxx += other.ttxx;
    ttw += other.ttw;
    ttwd += other.ttwd;
    return *this;
}

BlockSums total(const std::vector<BlockSums>& blocks) {
    BlockSums sums;
    for (const auto& block : blocks)
        sums += block;
    return sums;
}

std::vector<BlockSums> blockSums(const SecondGrid& reference, const SecondGrid& test, const UsedSeconds& used,
                                 const ClockFit& fit, double centre_s, std::int64_t block_s) {
    std::vector<BlockSums> blocks(static_cast<std::size_t>((reference.size() + block_s - 1) / block_s));
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        const double session_s = static_cast<double>(reference.first + static_cast<std::int64_t>(i));
        const auto reading = readingAt(test, testSecond(fit, session_s));
        if (!reading) continue;
        const double d = reading->value - reference.values[i];
        const double x = reading->slope, w = reading->curvature, t = session_s - centre_s;
        auto& sums = blocks[i / static_cast<std::size_t>(block_s)];
        sums += {1,     d,         d * d,     x,     x * x,     x * d,         w,         w * d,
                 t * x, t * x * x, t * x * d, t * w, t * w * d, t * t * x * x, t * t * w, t * t * w * d};
    }
    return blocks;
}

Gradient gradientOf(const BlockSums& sums) {
    if (sums.n < 1) return {};
    const double mean = sums.d / sums.n;
    return {(sums.xd - sums.x * mean) / sums.n, (sums.txd - sums.tx * mean) / sums.n};
}

Curvature curvatureOf(const BlockSums& sums) {
    if (sums.n < 3) return {};
    // Adding to the offset reads the test earlier, so d' = -x and d'' = w; for the drift the same times time.
    // The terms in w are where the noise of the test, which has slopes but tells nothing, cancels.
    const double mean = sums.d / sums.n;
    const double slopes = (sums.xx - sums.x * sums.x / sums.n) / sums.n;
    const double cross = (sums.txx - sums.tx * sums.x / sums.n) / sums.n;
    const double drift = (sums.ttxx - sums.tx * sums.tx / sums.n) / sums.n;
    const double exact = slopes + (sums.wd - sums.w * mean) / sums.n;
    if (!(slopes > 1e-9)) return {};
    // Where noise is all there is, its slopes cancel to about nothing; what is left must not pass for a sharp
    // valley.
    if (exact < leastCurvature * slopes)
        return {leastCurvature * slopes, leastCurvature * cross, leastCurvature * drift};
    return {exact, cross + (sums.twd - sums.tw * mean) / sums.n,
            drift + (sums.ttwd - sums.ttw * mean) / sums.n};
}

NewtonStep newtonStep(const Gradient& gradient, const Curvature& curvature, Drift drift) {
    if (!(curvature.offset > 0)) return {};
    if (drift == Drift::None) return {true, gradient.offset / curvature.offset, 0.0};
    const double determinant = curvature.offset * curvature.drift - curvature.cross * curvature.cross;
    if (!(curvature.drift > 0) || !(determinant > 1e-6 * curvature.offset * curvature.drift)) return {};
    return {true, (gradient.offset * curvature.drift - gradient.drift * curvature.cross) / determinant,
            (gradient.drift * curvature.offset - gradient.offset * curvature.cross) / determinant * 1e6};
}

}  // namespace beatwitness::alignment
