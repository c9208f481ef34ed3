#include "core/alignment/contenders.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace beatwitness::alignment {

namespace {

constexpr std::int64_t coarseStep_s = 4;
constexpr std::int64_t zoneStep_s = 6;
constexpr std::int64_t halfHour_s = 1800;
constexpr std::int64_t mostHalfHours = 28;  // zones span UTC-12 to UTC+14
constexpr std::size_t mostCandidates = 8;
constexpr std::size_t mostFitted = 4;
constexpr double leastEvidence = 0.3;  // of the best: least squares only sharpens what the bounded loss saw
constexpr double sameOffset_s = 0.5;
constexpr double startAside_s = 12.0;

ShiftRange around(std::int64_t centre_s, double radius_s) {
    const auto radius = static_cast<std::int64_t>(radius_s);
    return {centre_s - radius, centre_s + radius};
}

std::vector<ShiftScore> search(const Grids& grids, const std::vector<ShiftRange>& ranges, std::int64_t step_s,
                               const Settings& settings, const RunControl& run) {
    return bestShifts(grids.reference, grids.test, ranges, step_s,
                      static_cast<std::int64_t>(settings.leastOverlap.value), mostCandidates, run);
}

Contender fitted(const Grids& grids, const ShiftScore& minimum, double start_s, const Settings& settings) {
    Contender contender{minimum, {}, 0.0};
    contender.fine = fineFit(grids.reference, grids.shown, grids.test, {start_s, 0.0}, Drift::None,
                             settings.mask, static_cast<std::int64_t>(settings.bootstrapBlock.value));
    contender.explained_nats = explained(grids.reference, grids.test, contender.fine);
    return contender;
}

void addUnlessThere(std::vector<Contender>& list, Contender contender) {
    const auto same = [&](const Contender& other) {
        return std::abs(other.fine.fit.offset_s - contender.fine.fit.offset_s) < sameOffset_s;
    };
    if (std::ranges::none_of(list, same)) list.push_back(std::move(contender));
}

/// Of offsets that a lag can confuse with the best, the latest that explains nearly as much comes first.
void putLatestFirst(std::vector<Contender>& list, const Settings& settings) {
    const Contender best = list.front();
    auto latest = list.begin();
    for (auto it = list.begin(); it != list.end(); ++it) {
        const bool confusable =
            std::abs(it->fine.fit.offset_s - best.fine.fit.offset_s) <= settings.longestLag.value &&
            it->explained_nats >= (1 - settings.lagMargin) * best.explained_nats;
        if (confusable && it->fine.fit.offset_s > latest->fine.fit.offset_s) latest = it;
    }
    std::rotate(list.begin(), latest, latest + 1);
}

}  // namespace

std::vector<ShiftScore> nearestShifts(const Grids& grids, ClockKnowledge knowledge, const Settings& settings,
                                      const RunControl& run) {
    switch (knowledge) {
        case ClockKnowledge::Undated: {
            const ShiftRange anywhere{grids.reference.first - grids.test.end(),
                                      grids.reference.end() - grids.test.first};
            return search(grids, {anywhere}, coarseStep_s, settings, run);
        }
        case ClockKnowledge::ZoneUnknown:
            return zoneShifts(grids, settings, run);
        case ClockKnowledge::Dated:
            break;
    }
    return search(grids, {around(0, settings.searchRadius.value)}, coarseStep_s, settings, run);
}

std::vector<ShiftScore> zoneShifts(const Grids& grids, const Settings& settings, const RunControl& run) {
    std::vector<ShiftRange> ranges;
    for (std::int64_t k = -mostHalfHours; k <= mostHalfHours; ++k)
        ranges.push_back(around(k * halfHour_s, settings.searchRadius.value));
    return search(grids, ranges, zoneStep_s, settings, run);
}

bool atEdge(std::int64_t shift_s, ClockKnowledge knowledge, const Settings& settings) {
    if (knowledge == ClockKnowledge::Undated) return false;
    const auto nearestHalfHour =
        static_cast<std::int64_t>(std::llround(static_cast<double>(shift_s) / halfHour_s)) * halfHour_s;
    return std::abs(shift_s - nearestHalfHour) >
           static_cast<std::int64_t>(settings.searchRadius.value) - coarseStep_s;
}

std::vector<Contender> contenders(const Grids& grids, const std::vector<ShiftScore>& minima,
                                  const Settings& settings) {
    std::vector<Contender> list;
    for (std::size_t i = 0; i < std::min(minima.size(), mostFitted); ++i) {
        const auto& minimum = minima[i];
        if (minimum.evidence() < leastEvidence * minima.front().evidence()) break;
        addUnlessThere(list, fitted(grids, minimum, static_cast<double>(minimum.shift_s), settings));
    }
    // A long lag pulls the bounded loss to its side by up to its length: also start beside the best.
    const auto& best = *std::ranges::max_element(list, {}, &Contender::explained_nats);
    const auto coarse = best.coarse;
    const double offset_s = best.fine.fit.offset_s;
    for (const double aside_s : {-startAside_s, startAside_s})
        addUnlessThere(list, fitted(grids, coarse, offset_s + aside_s, settings));
    std::ranges::stable_sort(list, std::greater<>{}, &Contender::explained_nats);
    putLatestFirst(list, settings);
    return list;
}

}  // namespace beatwitness::alignment
