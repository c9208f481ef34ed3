#include "core/alignment/second_grid.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace beatwitness::alignment {
namespace {

constexpr double leastWeight = 0.9;  // of the Gaussian, on seconds that hold a value

std::vector<double> gaussian(double sigma_s) {
    const auto radius = static_cast<std::size_t>(std::ceil(3 * sigma_s));
    std::vector<double> half(radius + 1);
    for (std::size_t k = 0; k < half.size(); ++k)
        half[k] = std::exp(-0.5 * std::pow(static_cast<double>(k) / sigma_s, 2));
    return half;
}

void leaveOut(SecondGrid& grid, std::span<const trace::SessionSpan> spans) {
    for (const auto& span : spans) {
        const auto begin =
            std::max<double>(std::ceil(secondsOf(span.begin)), static_cast<double>(grid.first));
        const auto end =
            std::min<double>(std::floor(secondsOf(span.end)), static_cast<double>(grid.end() - 1));
        for (auto second = static_cast<std::int64_t>(begin); second <= static_cast<std::int64_t>(end);
             ++second)
            grid.valid[static_cast<std::size_t>(second - grid.first)] = 0;
    }
}

/// Smooths in place. A second keeps a value only where most of the Gaussian lies on seconds that hold one: at
/// the edge of a hole it would lean to one side, and a leaning edge would pass for a feature to align by.
void smooth(SecondGrid& grid, const std::vector<double>& half) {
    const auto n = grid.size();
    const auto radius = static_cast<std::int64_t>(half.size()) - 1;
    double whole = half[0];
    for (std::size_t k = 1; k < half.size(); ++k)
        whole += 2 * half[k];
    std::vector<std::int64_t> holes(static_cast<std::size_t>(n) + 1, 0);
    for (std::int64_t i = 0; i < n; ++i)
        holes[i + 1] = holes[i] + (grid.valid[i] ? 0 : 1);

    std::vector<double> out(static_cast<std::size_t>(n), 0.0);
    std::vector<std::uint8_t> valid(static_cast<std::size_t>(n), 0);
    for (std::int64_t i = 0; i < n; ++i) {
        if (!grid.valid[i]) continue;
        const bool inside = i >= radius && i + radius < n;
        if (inside && holes[i + radius + 1] == holes[i - radius]) {
            double sum = half[0] * grid.values[i];
            for (std::int64_t k = 1; k <= radius; ++k)
                sum += half[k] * (grid.values[i - k] + grid.values[i + k]);
            out[i] = sum / whole;
            valid[i] = 1;
            continue;
        }
        double sum = 0.0, weight = 0.0;
        for (std::int64_t j = std::max<std::int64_t>(0, i - radius); j <= std::min(n - 1, i + radius); ++j) {
            if (!grid.valid[j]) continue;
            const double w = half[static_cast<std::size_t>(std::abs(j - i))];
            sum += w * grid.values[j];
            weight += w;
        }
        if (weight < leastWeight * whole) continue;
        out[i] = sum / weight;
        valid[i] = 1;
    }
    grid.values = std::move(out);
    grid.valid = std::move(valid);
}

}  // namespace

SecondGrid smoothedGrid(const trace::SecondlyRates& rates, Seconds sigma,
                        std::span<const trace::SessionSpan> leftOut) {
    assert(!rates.seconds.empty());
    SecondGrid grid;
    grid.first = rates.seconds.front();
    const auto length = static_cast<std::size_t>(rates.seconds.back() - grid.first + 1);
    grid.values.assign(length, 0.0);
    grid.valid.assign(length, 0);
    for (std::size_t k = 0; k < rates.seconds.size(); ++k) {
        const auto i = static_cast<std::size_t>(rates.seconds[k] - grid.first);
        grid.values[i] = rates.rates[k].value;
        grid.valid[i] = 1;
    }
    leaveOut(grid, leftOut);
    for (std::size_t i = 0; i < length; ++i)
        if (!grid.valid[i]) grid.values[i] = 0.0;
    smooth(grid, gaussian(sigma.value));
    return grid;
}

}  // namespace beatwitness::alignment
