#include "core/alignment/fine_fit.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <optional>

namespace beatwitness::alignment {
namespace {

constexpr int mostRounds = 12;
constexpr double settled_s = 1e-4;
constexpr double settled_ppm = 0.01;
constexpr double largestStep_s = 4.0;
constexpr double normalPerDeviation = 1.4826;  // sd of a normal over its median absolute deviation
constexpr int consensusRounds = 4;
constexpr double leastSlopes = 0.01;     // (bpm/s)^2 on average: below, a block knows no shift of its own
constexpr double leastCurvature = 0.03;  // of what the slopes alone would give
constexpr std::int64_t neighbourhood_s = 10;
constexpr std::int64_t neighbourhoodPoints = 2000;
constexpr double roundingSd_bpm = 0.5;   // finer agreement than the rounding of rates is no more evidence
constexpr double anywhereSd_bpm = 30.0;  // a test that does not follow may read anything

struct Reading {
    double value;
    double slope;      ///< per second of the test's own clock
    double curvature;  ///< per second squared
};

/// Four-point cubic between whole seconds; a line where a neighbour is missing; nothing in a hole.
std::optional<Reading> read(const SecondGrid& grid, double second) {
    const double below = std::floor(second);
    const auto j = static_cast<std::int64_t>(below) - grid.first;
    if (j < 0 || j + 1 >= grid.size()) return std::nullopt;
    const auto i = static_cast<std::size_t>(j);
    if (!(grid.valid[i] & grid.valid[i + 1])) return std::nullopt;
    const double f = second - below;
    const double p1 = grid.values[i], p2 = grid.values[i + 1];
    if (j < 1 || j + 2 >= grid.size() || !(grid.valid[i - 1] & grid.valid[i + 2]))
        return Reading{p1 + f * (p2 - p1), p2 - p1, 0.0};
    const double p0 = grid.values[i - 1], p3 = grid.values[i + 2];
    // Lagrange through four points: exact for the cubics that a smoothed trace is between three seconds.
    const double a = (p3 - p0) / 6 + (p1 - p2) / 2, b = (p0 + p2) / 2 - p1, c = p2 - p0 / 3 - p1 / 2 - p3 / 6;
    return Reading{((a * f + b) * f + c) * f + p1, (3 * a * f + 2 * b) * f + c, 6 * a * f + 2 * b};
}

double testSecond(const ClockFit& fit, double session_s) {
    return session_s / (1 + fit.drift_ppm * 1e-6) - fit.offset_s;
}

/// Largest (or, with std::greater-like Better, smallest) valid value within `reach` seconds, for every
/// second.
template <class Better>
std::vector<double> extreme(const SecondGrid& grid, std::int64_t reach, Better better) {
    std::vector<double> out(grid.values.size(), 0.0);
    std::deque<std::int64_t> window;  // indices whose values get worse
    const std::int64_t n = grid.size();
    for (std::int64_t i = 0; i < n + reach; ++i) {
        if (i < n && grid.valid[i]) {
            while (!window.empty() && !better(grid.values[window.back()], grid.values[i]))
                window.pop_back();
            window.push_back(i);
        }
        const std::int64_t centre = i - reach;
        if (centre < 0) continue;
        while (!window.empty() && window.front() < centre - reach)
            window.pop_front();
        out[centre] = window.empty() ? grid.values[centre] : grid.values[window.front()];
    }
    return out;
}

/// How far the centred test lies outside what the reference reads near each second; negative where there is
/// no pair.
std::vector<double> outsideBy(const SecondGrid& reference, const std::vector<double>& test,
                              double tolerance_s, double median) {
    const auto reach = static_cast<std::int64_t>(std::ceil(tolerance_s));
    const auto highest = extreme(reference, reach, [](double a, double b) { return a > b; });
    const auto lowest = extreme(reference, reach, [](double a, double b) { return a < b; });
    std::vector<double> outside(test.size(), -1.0);
    for (std::size_t i = 0; i < test.size(); ++i) {
        if (std::isnan(test[i])) continue;
        const double centred = test[i] - median;
        outside[i] = std::max({0.0, centred - highest[i], lowest[i] - centred});
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

/// NaN stays inside this file: it marks seconds without a pair.
std::vector<double> testOnReference(const SecondGrid& reference, const SecondGrid& test,
                                    const ClockFit& fit) {
    std::vector<double> values(reference.values.size(), std::nan(""));
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (!reference.valid[i]) continue;
        const double session_s = static_cast<double>(reference.first + static_cast<std::int64_t>(i));
        if (const auto reading = read(test, testSecond(fit, session_s))) values[i] = reading->value;
    }
    return values;
}

std::vector<BlockSums> blockSums(const SecondGrid& reference, const SecondGrid& test, const UsedSeconds& used,
                                 const ClockFit& fit, double centre_s, std::int64_t block_s) {
    std::vector<BlockSums> blocks(static_cast<std::size_t>((reference.size() + block_s - 1) / block_s));
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        const double session_s = static_cast<double>(reference.first + static_cast<std::int64_t>(i));
        const auto reading = read(test, testSecond(fit, session_s));
        if (!reading) continue;
        const double d = reading->value - reference.values[i];
        const double x = reading->slope, w = reading->curvature, t = session_s - centre_s;
        auto& sums = blocks[i / static_cast<std::size_t>(block_s)];
        sums += {1,     d,         d * d,     x,     x * x,     x * d,         w,         w * d,
                 t * x, t * x * x, t * x * d, t * w, t * w * d, t * t * x * x, t * t * w, t * t * w * d};
    }
    return blocks;
}

/// Offset at t0 after correcting the offset at the centre and the drift.
ClockFit stepped(const ClockFit& fit, const NewtonStep& step, double centre_s) {
    // At the centre the shift is offset + centre * drift / (1 + drift); it changes by the step, drift by its
    // own.
    const auto stretch = [](double ppm) { return ppm * 1e-6 / (1 + ppm * 1e-6); };
    const double shift_s = fit.offset_s + centre_s * stretch(fit.drift_ppm) +
                           std::clamp(step.offset_s, -largestStep_s, largestStep_s);
    const double drift_ppm = fit.drift_ppm + step.drift_ppm;
    return {shift_s - centre_s * stretch(drift_ppm), drift_ppm};
}

double spread(const SecondGrid& grid, const UsedSeconds& used) {
    double sum = 0, squares = 0, n = 0;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        sum += grid.values[i];
        squares += grid.values[i] * grid.values[i];
        ++n;
    }
    return n < 2 ? 0.0 : std::sqrt(std::max(0.0, squares / n - (sum / n) * (sum / n)));
}

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

UsedSeconds usedSeconds(const SecondGrid& reference, const SecondGrid& test, const ClockFit& fit,
                        const MaskSettings& settings) {
    const auto values = testOnReference(reference, test, fit);
    std::vector<double> differences;
    UsedSeconds used(values.size(), 0);
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i])) continue;
        used[i] = 1;
        differences.push_back(values[i] - reference.values[i]);
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
        centred[i] = values[i] - reference.values[i] - median;
        paired[i] = std::isnan(values[i]) ? values[i] : reference.values[i];
    }
    maskEpisodes(used, outsideBy(reference, values, settings.tolerance_s, median), centred, out_bpm,
                 settings);
    maskStuck(used, values, paired, settings);
    maskStuck(used, paired, values, settings);
    return used;
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

namespace {

/// The shift that one block alone asks for, and how much it knows.
struct LocalShift {
    double shift_s = 0.0;  ///< to add to the offset
    double weight = 0.0;   ///< sum of squared slopes
    double removes = 0.0;  ///< share of the block's squared difference that the shift would take away
};

std::vector<LocalShift> localShifts(const std::vector<BlockSums>& blocks) {
    const BlockSums sums = total(blocks);
    const double mean = sums.n > 0 ? sums.d / sums.n : 0.0;
    std::vector<LocalShift> shifts;
    for (const auto& block : blocks) {
        LocalShift local;
        const double xd = block.xd - mean * block.x;
        const double dd = block.dd - 2 * mean * block.d + mean * mean * block.n;
        if (block.xx > leastSlopes * block.n && dd > 0)
            local = {xd / block.xx, block.xx, xd * xd / (block.xx * dd)};
        shifts.push_back(local);
    }
    return shifts;
}

/// Weighted median: what most of the movement asks for. A lag is a few transitions among many.
double consensus(std::vector<LocalShift> shifts) {
    std::ranges::sort(shifts, {}, &LocalShift::shift_s);
    double whole = 0.0;
    for (const auto& shift : shifts)
        whole += shift.weight;
    double below = 0.0;
    for (const auto& shift : shifts) {
        below += shift.weight;
        if (below >= whole / 2) return shift.shift_s;
    }
    return 0.0;
}

/// Leaves out the blocks that ask for a shift of their own: the device lags there (field guide section 3).
void leaveOutLags(FineFit& fit, const std::vector<LocalShift>& shifts, double agreed_s,
                  const MaskSettings& settings, std::int64_t block_s) {
    for (std::size_t b = 0; b < shifts.size(); ++b) {
        const bool own = std::abs(shifts[b].shift_s - agreed_s) > settings.lag_s &&
                         shifts[b].removes > settings.lagRemoves;
        if (!own) continue;
        const auto begin = b * static_cast<std::size_t>(block_s);
        const auto end = std::min(fit.used.size(), begin + static_cast<std::size_t>(block_s));
        for (std::size_t i = begin; i < end; ++i)
            fit.used[i] = 0;
        fit.blocks[b] = {};
    }
}

/// Newton's rounds from `start`. The first follow what most of the movement asks for, the next mask anew, the
/// last keep the mask: one that flickers never settles.
void settle(FineFit& result, const SecondGrid& reference, const SecondGrid& test, Drift drift,
            const MaskSettings& settings, std::int64_t block_s) {
    for (int round = 0; round < mostRounds; ++round) {
        const bool masks = round < mostRounds / 2;
        if (masks) result.used = usedSeconds(reference, test, result.fit, settings);
        result.blocks = blockSums(reference, test, result.used, result.fit, result.centre_s, block_s);
        if (masks) {
            const auto shifts = localShifts(result.blocks);
            const double agreed_s = consensus(shifts);
            if (round < consensusRounds && std::abs(agreed_s) > 1) {
                result.fit = stepped(result.fit, {true, agreed_s, 0.0}, result.centre_s);
                continue;
            }
            leaveOutLags(result, shifts, agreed_s, settings, block_s);
        }
        const BlockSums sums = total(result.blocks);
        const auto step = newtonStep(gradientOf(sums), curvatureOf(sums), drift);
        if (!step.ok) return;
        result.fit = stepped(result.fit, step, result.centre_s);
        if (std::abs(step.offset_s) < settled_s && std::abs(step.drift_ppm) < settled_ppm && round >= 2)
            return;
    }
}

/// The whole-second step, within `neighbourhood_s`, at which the loss under the present mask is least.
double bestStep(const FineFit& fit, const SecondGrid& reference, const SecondGrid& test) {
    const auto stride = std::max<std::int64_t>(1, reference.size() / neighbourhoodPoints);
    double best = rmsAt(reference, test, fit.used, fit.fit, stride), bestStep_s = 0.0;
    for (std::int64_t k = -neighbourhood_s; k <= neighbourhood_s; ++k) {
        const ClockFit moved{fit.fit.offset_s + static_cast<double>(k), fit.fit.drift_ppm};
        const double rms = rmsAt(reference, test, fit.used, moved, stride);
        if (rms >= best) continue;
        best = rms;
        bestStep_s = static_cast<double>(k);
    }
    return bestStep_s;
}

}  // namespace

FineFit fineFit(const SecondGrid& reference, const SecondGrid& test, const ClockFit& start, Drift drift,
                const MaskSettings& settings, std::int64_t block_s) {
    FineFit result;
    result.fit = start;
    result.centre_s = static_cast<double>(reference.first) + static_cast<double>(reference.size()) / 2;
    settle(result, reference, test, drift, settings, block_s);
    if (const double step_s = bestStep(result, reference, test); std::abs(step_s) >= 1) {
        result.fit.offset_s += step_s;
        settle(result, reference, test, drift, settings, block_s);
    }
    result.blocks = blockSums(reference, test, result.used, result.fit, result.centre_s, block_s);
    std::erase_if(result.blocks, [](const BlockSums& block) { return block.n == 0; });
    const BlockSums sums = total(result.blocks);
    result.usedSeconds = static_cast<std::int64_t>(sums.n);
    for (const double value : testOnReference(reference, test, result.fit))
        result.commonSeconds += !std::isnan(value);
    if (sums.n > 0)
        result.rms_bpm = std::sqrt(std::max(0.0, sums.dd / sums.n - (sums.d / sums.n) * (sums.d / sums.n)));
    result.referenceSd_bpm = spread(reference, result.used);
    return result;
}

double explained(const SecondGrid& reference, const SecondGrid& test, const FineFit& fit) {
    const auto values = testOnReference(reference, test, fit.fit);
    double referenceSum = 0, referenceSquares = 0, testSum = 0, testSquares = 0, n = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i])) continue;
        referenceSum += reference.values[i];
        referenceSquares += reference.values[i] * reference.values[i];
        testSum += values[i];
        testSquares += values[i] * values[i];
        ++n;
    }
    if (n < 2) return 0.0;
    const double variance = referenceSquares / n - (referenceSum / n) * (referenceSum / n) + testSquares / n -
                            (testSum / n) * (testSum / n);
    const double unrelated = n * std::log(std::sqrt(std::max(0.0, variance)) + roundingSd_bpm);
    const double used = static_cast<double>(fit.usedSeconds);
    return unrelated - used * std::log(fit.rms_bpm + roundingSd_bpm) - (n - used) * std::log(anywhereSd_bpm);
}

double rmsAt(const SecondGrid& reference, const SecondGrid& test, const UsedSeconds& used,
             const ClockFit& fit, std::int64_t stride) {
    double sum = 0, squares = 0, n = 0;
    for (std::size_t i = 0; i < used.size(); i += static_cast<std::size_t>(stride)) {
        if (!used[i]) continue;
        const double session_s = static_cast<double>(reference.first + static_cast<std::int64_t>(i));
        const auto reading = read(test, testSecond(fit, session_s));
        if (!reading) continue;
        const double d = reading->value - reference.values[i];
        sum += d;
        squares += d * d;
        ++n;
    }
    return n < 2 ? 0.0 : std::sqrt(std::max(0.0, squares / n - (sum / n) * (sum / n)));
}

}  // namespace beatwitness::alignment
