#include "core/alignment/fine_fit.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <optional>

namespace beatwitness::alignment {
namespace {

constexpr int mostRounds = 12;
constexpr double settled_s = 1e-4;
constexpr double largestStep_s = 4.0;

struct Reading {
    double value;
    double slope;  ///< per second of the test's own clock
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
        return Reading{p1 + f * (p2 - p1), p2 - p1};
    const double p0 = grid.values[i - 1], p3 = grid.values[i + 2];
    // Lagrange through four points: exact for the cubics that a smoothed trace is between three seconds.
    const double a = (p3 - p0) / 6 + (p1 - p2) / 2, b = (p0 + p2) / 2 - p1, c = p2 - p0 / 3 - p1 / 2 - p3 / 6;
    return Reading{((a * f + b) * f + c) * f + p1, (3 * a * f + 2 * b) * f + c};
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

void maskEpisodes(UsedSeconds& used, const std::vector<double>& outside, const MaskSettings& settings) {
    const auto n = static_cast<std::int64_t>(used.size());
    for (std::int64_t i = 0; i < n; ++i) {
        if (outside[i] <= settings.out_bpm) continue;
        std::int64_t begin = i, end = i;
        while (begin > 0 && (outside[begin - 1] < 0 || outside[begin - 1] > settings.back_bpm))
            --begin;
        while (end + 1 < n && (outside[end + 1] < 0 || outside[end + 1] > settings.back_bpm))
            ++end;
        const std::int64_t from = std::max<std::int64_t>(0, begin - settings.guard_s);
        const std::int64_t to = std::min(n - 1, end + settings.guard_s);
        for (std::int64_t j = from; j <= to; ++j)
            used[j] = 0;
        i = end;
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

std::vector<NormalSums> blockSums(const SecondGrid& reference, const SecondGrid& test,
                                  const UsedSeconds& used, const ClockFit& fit, double centre_s,
                                  std::int64_t block_s) {
    std::vector<NormalSums> blocks(static_cast<std::size_t>((reference.size() + block_s - 1) / block_s));
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        const double session_s = static_cast<double>(reference.first + static_cast<std::int64_t>(i));
        const auto reading = read(test, testSecond(fit, session_s));
        if (!reading) continue;
        const double d = reading->value - reference.values[i];
        const double x = reading->slope, z = x * (session_s - centre_s);
        auto& sums = blocks[i / static_cast<std::size_t>(block_s)];
        sums += {1, x, x * x, z, z * z, x * z, d, x * d, z * d, d * d};
    }
    std::erase_if(blocks, [](const NormalSums& sums) { return sums.n == 0; });
    return blocks;
}

NormalSums total(const std::vector<NormalSums>& blocks) {
    NormalSums sums;
    for (const auto& block : blocks)
        sums += block;
    return sums;
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

NormalSums& NormalSums::operator+=(const NormalSums& other) {
    n += other.n;
    x += other.x;
    xx += other.xx;
    z += other.z;
    zz += other.zz;
    xz += other.xz;
    d += other.d;
    xd += other.xd;
    zd += other.zd;
    dd += other.dd;
    return *this;
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
    maskEpisodes(used, outsideBy(reference, values, settings.tolerance_s, medianOf(std::move(differences))),
                 settings);
    return used;
}

NewtonStep newtonStep(const NormalSums& sums, Drift drift) {
    if (sums.n < 3) return {};
    // About the means: the mean difference is free.
    const double xx = sums.xx - sums.x * sums.x / sums.n, xd = sums.xd - sums.x * sums.d / sums.n;
    if (!(xx > 1e-9 * sums.n)) return {};
    if (drift == Drift::None) return {true, xd / xx, 0.0};
    const double zz = sums.zz - sums.z * sums.z / sums.n, zd = sums.zd - sums.z * sums.d / sums.n;
    const double xz = sums.xz - sums.x * sums.z / sums.n;
    const double determinant = xx * zz - xz * xz;
    if (!(determinant > 1e-12 * xx * zz)) return {};
    return {true, (xd * zz - zd * xz) / determinant, (zd * xx - xd * xz) / determinant * 1e6};
}

FineFit fineFit(const SecondGrid& reference, const SecondGrid& test, const ClockFit& start, Drift drift,
                const MaskSettings& settings, std::int64_t block_s) {
    FineFit result;
    result.fit = start;
    result.centre_s = static_cast<double>(reference.first) + static_cast<double>(reference.size()) / 2;
    for (int round = 0; round < mostRounds; ++round) {
        // The last rounds keep the mask: a mask that flickers between two states would never settle.
        if (round < mostRounds / 2 || result.used.empty())
            result.used = usedSeconds(reference, test, result.fit, settings);
        result.blocks = blockSums(reference, test, result.used, result.fit, result.centre_s, block_s);
        const auto step = newtonStep(total(result.blocks), drift);
        if (!step.ok) break;
        result.fit = stepped(result.fit, step, result.centre_s);
        if (std::abs(step.offset_s) < settled_s && round >= 2) break;
    }
    result.blocks = blockSums(reference, test, result.used, result.fit, result.centre_s, block_s);
    const NormalSums sums = total(result.blocks);
    result.usedSeconds = static_cast<std::int64_t>(sums.n);
    for (const double value : testOnReference(reference, test, result.fit))
        result.commonSeconds += !std::isnan(value);
    if (sums.n > 0)
        result.rms_bpm = std::sqrt(std::max(0.0, sums.dd / sums.n - (sums.d / sums.n) * (sums.d / sums.n)));
    result.referenceSd_bpm = spread(reference, result.used);
    return result;
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
