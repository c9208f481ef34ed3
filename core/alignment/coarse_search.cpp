#include "core/alignment/coarse_search.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace beatwitness::alignment {
namespace {

constexpr std::int64_t mostPoints = 2000;
constexpr double leastScore = 0.02;  // below, noise decides

double bounded(double error_bpm) {
    const double u = error_bpm / bitingPoint_bpm;
    if (std::abs(u) >= 1) return 1.0;
    const double w = 1 - u * u;
    return 1 - w * w * w;
}

/// What the bounded loss of a Gaussian of this variance comes to, closely enough to compare overlaps by.
double boundedOfVariance(double variance) {
    return 1 - std::exp(-3 * variance / (bitingPoint_bpm * bitingPoint_bpm));
}

struct Running {
    double sum = 0.0, squares = 0.0;
    std::size_t n = 0;
    void add(double x) {
        sum += x;
        squares += x * x;
        ++n;
    }
    [[nodiscard]] double variance() const {
        if (n < 2) return 0.0;
        const double mean = sum / static_cast<double>(n);
        return std::max(0.0, squares / static_cast<double>(n) - mean * mean);
    }
};

/// Variance below which a stretch is flat: what is left is noise, and noise must not look like agreement.
constexpr double flatVariance = 9.0;

ShiftScore score(const SecondGrid& reference, const SecondGrid& test, std::int64_t shift, std::int64_t stride,
                 std::vector<double>& differences) {
    differences.clear();
    Running referenceSpread, testSpread;
    const std::int64_t begin = std::max(reference.first, test.first + shift);
    const std::int64_t end = std::min(reference.end(), test.end() + shift);
    // The same seconds of the reference at every shift, so that neighbouring shifts are compared on the same
    // ground.
    std::int64_t second = reference.first + (begin - reference.first + stride - 1) / stride * stride;
    for (; second < end; second += stride) {
        const auto i = static_cast<std::size_t>(second - reference.first);
        const auto j = static_cast<std::size_t>(second - shift - test.first);
        if (!(reference.valid[i] & test.valid[j])) continue;
        differences.push_back(test.values[j] - reference.values[i]);
        referenceSpread.add(reference.values[i]);
        testSpread.add(test.values[j]);
    }
    ShiftScore result{shift, 1.0, static_cast<std::int64_t>(differences.size()) * stride};
    if (differences.size() < 8) return result;
    const auto middle = differences.begin() + static_cast<std::ptrdiff_t>(differences.size() / 2);
    std::nth_element(differences.begin(), middle, differences.end());
    const double median = *middle;
    double loss = 0.0;
    for (const double difference : differences)
        loss += bounded(difference - median);
    loss /= static_cast<double>(differences.size());
    const double unrelated = boundedOfVariance(referenceSpread.variance() + testSpread.variance());
    result.score = loss / std::max(unrelated, boundedOfVariance(2 * flatVariance));
    return result;
}

std::int64_t strideFor(const SecondGrid& reference, std::int64_t most) {
    return std::max<std::int64_t>(1, (reference.size() + most - 1) / most);
}

/// Steps down the score by whole seconds until neither neighbour is better.
ShiftScore descend(const SecondGrid& reference, const SecondGrid& test, ShiftScore from, std::int64_t reach,
                   std::int64_t stride, std::vector<double>& scratch) {
    ShiftScore best = score(reference, test, from.shift_s, stride, scratch);
    for (std::int64_t step = std::max<std::int64_t>(1, reach / 2); step >= 1; step /= 2) {
        for (bool moved = true; moved;) {
            moved = false;
            for (const std::int64_t direction : {-step, step}) {
                const auto next = score(reference, test, best.shift_s + direction, stride, scratch);
                if (next.overlap_s * 2 < best.overlap_s || next.score >= best.score) continue;
                best = next;
                moved = true;
            }
        }
    }
    return best;
}

}  // namespace

double ShiftScore::evidence() const {
    return static_cast<double>(overlap_s) * -std::log(std::clamp(score, leastScore, 1.0));
}

std::vector<ShiftScore> bestShifts(const SecondGrid& reference, const SecondGrid& test,
                                   const std::vector<ShiftRange>& ranges, std::int64_t step_s,
                                   std::int64_t leastOverlap_s, std::size_t most, const RunControl& run) {
    std::vector<double> scratch;
    std::vector<ShiftScore> minima;
    const std::int64_t stride = strideFor(reference, mostPoints);
    for (const auto& range : ranges) {
        if (run.stopRequested()) break;
        std::vector<ShiftScore> scores;
        for (std::int64_t shift = range.first_s; shift <= range.last_s; shift += step_s) {
            if (scores.size() % 64 == 63 && run.stopRequested()) break;
            const auto here = score(reference, test, shift, stride, scratch);
            scores.push_back(here.overlap_s >= leastOverlap_s ? here
                                                              : ShiftScore{shift, 2.0, here.overlap_s});
        }
        for (std::size_t i = 0; i < scores.size(); ++i) {
            if (scores[i].overlap_s < leastOverlap_s) continue;
            const bool belowLeft = i == 0 || scores[i].score <= scores[i - 1].score;
            const bool belowRight = i + 1 == scores.size() || scores[i].score < scores[i + 1].score;
            if (belowLeft && belowRight) minima.push_back(scores[i]);
        }
    }
    std::ranges::stable_sort(minima, std::greater<>{}, &ShiftScore::evidence);
    if (minima.size() > most) minima.resize(most);
    const std::int64_t finer = strideFor(reference, 4 * mostPoints);
    for (auto& minimum : minima)
        minimum = descend(reference, test, minimum, step_s, finer, scratch);
    std::ranges::stable_sort(minima, std::greater<>{}, &ShiftScore::evidence);
    const auto [from, to] = std::ranges::unique(minima, {}, &ShiftScore::shift_s);
    minima.erase(from, to);
    return minima;
}

}  // namespace beatwitness::alignment
