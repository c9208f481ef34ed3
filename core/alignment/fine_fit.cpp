#include "core/alignment/fine_fit.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::alignment {

namespace {

constexpr int mostRounds = 12;
constexpr double settled_s = 1e-4;
constexpr double settled_ppm = 0.01;
constexpr double largestStep_s = 4.0;
constexpr int consensusRounds = 4;
constexpr double leastSlopes = 0.01;  // (bpm/s)^2 on average: below, a block knows no shift of its own
constexpr std::int64_t neighbourhood_s = 10;
constexpr std::int64_t neighbourhoodPoints = 2000;
constexpr double roundingSd_bpm = 0.5;   // finer agreement than the rounding of rates is no more evidence
constexpr double anywhereSd_bpm = 30.0;  // a test that does not follow may read anything

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
void settle(FineFit& result, const SecondGrid& reference, const Shown& shown, const SecondGrid& test,
            Drift drift, const MaskSettings& settings, std::int64_t block_s) {
    for (int round = 0; round < mostRounds; ++round) {
        const bool masks = round < mostRounds / 2;
        if (masks) result.used = usedSeconds(reference, shown, test, result.fit, settings);
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

FineFit fineFit(const SecondGrid& reference, const Shown& shown, const SecondGrid& test,
                const ClockFit& start, Drift drift, const MaskSettings& settings, std::int64_t block_s) {
    FineFit result;
    result.fit = start;
    result.centre_s = static_cast<double>(reference.first) + static_cast<double>(reference.size()) / 2;
    settle(result, reference, shown, test, drift, settings, block_s);
    if (const double step_s = bestStep(result, reference, test); std::abs(step_s) >= 1) {
        result.fit.offset_s += step_s;
        settle(result, reference, shown, test, drift, settings, block_s);
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
        const auto reading = readingAt(test, testSecond(fit, session_s));
        if (!reading) continue;
        const double d = reading->value - reference.values[i];
        sum += d;
        squares += d * d;
        ++n;
    }
    return n < 2 ? 0.0 : std::sqrt(std::max(0.0, squares / n - (sum / n) * (sum / n)));
}

}  // namespace beatwitness::alignment
