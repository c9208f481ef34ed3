#include "core/agreement/density_map.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <numeric>

#include "core/recording/heart_rate_range.h"

namespace beatwitness::agreement {
namespace {

/// Pairs whose cell numbers are found before they are counted; their numbers stay in the first-level cache.
constexpr std::size_t blockSize = 2048;

/// Cells a row and column at either side of the grid take what lies outside it.
constexpr int border = 1;

/// 1 + the cell of `rate`, 0 or `cells` + 1 outside the grid. Without a branch, so that the loop over it
/// vectorises. Source of the rule: a rate belongs to the cell whose lower edge it reaches.
inline std::int32_t borderedCell(double rate_bpm, double lowestEdge_bpm, double perBpm, double cells) {
    const double cell = (rate_bpm - lowestEdge_bpm) * perBpm + border;
    return static_cast<std::int32_t>(std::min(std::max(cell, 0.0), cells + border));
}

}  // namespace

DensityMap densityMap(std::span<const Bpm> reference, std::span<const Bpm> test, int cellWidth_bpm) {
    assert(reference.size() == test.size());
    assert(cellWidth_bpm >= 1 && cellWidth_bpm <= 50);
    DensityMap map;
    map.cellWidth_bpm = cellWidth_bpm;
    map.lowest_bpm = static_cast<int>(recording::lowestValid_bpm) / cellWidth_bpm * cellWidth_bpm;
    const int span_bpm = static_cast<int>(recording::highestValid_bpm) - map.lowest_bpm + 1;
    map.cells = (span_bpm + cellWidth_bpm - 1) / cellWidth_bpm;

    const std::int32_t stride = map.cells + 2 * border;
    std::vector<std::uint32_t> bordered(static_cast<std::size_t>(stride) * static_cast<std::size_t>(stride),
                                        0);
    const double lowestEdge = map.edge(0), perBpm = 1.0 / cellWidth_bpm, cells = map.cells;
    std::array<std::int32_t, blockSize> numbers;
    for (std::size_t begin = 0; begin < reference.size(); begin += blockSize) {
        const std::size_t count = std::min(blockSize, reference.size() - begin);
        const Bpm* r = reference.data() + begin;
        const Bpm* t = test.data() + begin;
        for (std::size_t i = 0; i < count; ++i)
            numbers[i] = borderedCell(t[i].value, lowestEdge, perBpm, cells) * stride +
                         borderedCell(r[i].value, lowestEdge, perBpm, cells);
        for (std::size_t i = 0; i < count; ++i)
            ++bordered[static_cast<std::size_t>(numbers[i])];
    }

    map.counts.reserve(static_cast<std::size_t>(map.cells) * static_cast<std::size_t>(map.cells));
    for (int row = 0; row < map.cells; ++row) {
        const auto first = bordered.begin() + static_cast<std::ptrdiff_t>(row + border) * stride + border;
        map.counts.insert(map.counts.end(), first, first + map.cells);
    }
    map.pairs = std::accumulate(map.counts.begin(), map.counts.end(), std::uint64_t{0});
    map.largest = *std::ranges::max_element(map.counts);
    return map;
}

}  // namespace beatwitness::agreement
