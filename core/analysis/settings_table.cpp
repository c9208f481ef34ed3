#include "core/analysis/settings_table.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/analysis/thresholds.h"
#include "core/recording/heart_rate_range.h"

namespace beatwitness::analysis {
namespace {

constexpr std::string_view contract = "batch contract";
constexpr std::string_view ours = "our default";
constexpr std::string_view guide = "field guide, section 4";

/// What counts as a heart rate is fixed: readers and library rely on it.
std::vector<Threshold> pairingThresholds() {
    return {
        threshold(
            "max_gap_s", "s", 1, 60, "samples further apart are not joined by a line", contract,
            [](auto& s) -> auto& { return s.pairing.maxGap.value; }),
        {"lowest_valid_bpm", "bpm", 0, 0, "lower readings are missing samples", contract,
         [](const Settings&) { return recording::lowestValid_bpm; }, nullptr},
        {"highest_valid_bpm", "bpm", 0, 0, "higher readings are missing samples", contract,
         [](const Settings&) { return recording::highestValid_bpm; }, nullptr},
    };
}

std::vector<Threshold> alignmentThresholds() {
    return {
        threshold(
            "alignment_smoothing_s", "s", 0, 86400,
            "sigma of the Gaussian that both traces are smoothed by before they are compared", contract,
            [](auto& s) -> auto& { return s.alignment.smoothing.value; }),
        threshold(
            "alignment_search_s", "s", 0, 86400, "how far around each hypothesis a clock is looked for",
            guide, [](auto& s) -> auto& { return s.alignment.searchRadius.value; }),
        threshold(
            "alignment_least_overlap_s", "s", 0, 86400, "less common time is refused", guide,
            [](auto& s) -> auto& { return s.alignment.leastOverlap.value; }),
        threshold(
            "alignment_least_range_bpm", "bpm", 0, 250,
            "a reference whose 5th to 95th percentile spans less is refused as flat", guide,
            [](auto& s) -> auto& { return s.alignment.leastRange.value; }),
        threshold(
            "alignment_least_change_bpm", "bpm", 0, 250,
            "a change of this size that the device follows is needed", guide,
            [](auto& s) -> auto& { return s.alignment.leastChange.value; }),
        threshold(
            "alignment_least_bend_bpm", "bpm", 0, 250,
            "a reference whose spread about its straight line is smaller is a ramp: a shift and a bias look "
            "alike",
            ours, [](auto& s) -> auto& { return s.alignment.leastBend.value; }),
        threshold(
            "alignment_worst_score", "", 0, 100000,
            "share of the loss of unrelated traces above which two recordings are taken for unrelated", ours,
            [](auto& s) -> auto& { return s.alignment.worstScore; }),
        threshold(
            "alignment_least_used", "", 0, 100000,
            "share of the common time in which the test must follow the reference", ours,
            [](auto& s) -> auto& { return s.alignment.leastUsed; }),
        threshold(
            "alignment_least_explained_nats", "nat/s", 0, 100,
            "gain in log-likelihood a second over two unrelated recordings that is asked for", ours,
            [](auto& s) -> auto& { return s.alignment.leastExplained; }),
        threshold(
            "alignment_partial_costs_nats", "nat/s", 0, 100,
            "as much more where only a part of the shorter recording is in common: short stretches look "
            "alike by "
            "chance",
            ours, [](auto& s) -> auto& { return s.alignment.partialCosts; }),
        threshold(
            "alignment_longest_lag_s", "s", 0, 600,
            "of two offsets closer than this one may be the lag of the other", "field guide, section 3",
            [](auto& s) -> auto& { return s.alignment.longestLag.value; }),
        threshold(
            "alignment_lag_margin", "", 0, 1,
            "share of the evidence that an offset may lack and yet be taken for being later: a device lags, "
            "it "
            "never leads",
            ours, [](auto& s) -> auto& { return s.alignment.lagMargin; }),
        threshold(
            "alignment_widest_interval_s", "s", 0, 86400, "a wider interval is refused", guide,
            [](auto& s) -> auto& { return s.alignment.widestInterval.value; }),
        threshold(
            "alignment_alias_distance_s", "s", 0, 86400,
            "a second minimum further away than this makes the offset ambiguous", guide,
            [](auto& s) -> auto& { return s.alignment.aliasDistance.value; }),
        threshold(
            "alignment_alias_margin", "", 0, 100000,
            "share of the loss within which a second minimum counts as good as the first", guide,
            [](auto& s) -> auto& { return s.alignment.aliasMargin; }),
        threshold(
            "alignment_block_s", "s", 5, 3600, "length of the blocks that are resampled for the interval",
            guide, [](auto& s) -> auto& { return s.alignment.bootstrapBlock.value; }),
        threshold(
            "alignment_replicates", "", 50, 100000, "resamples behind the interval", ours,
            [](auto& s) -> auto& { return s.alignment.bootstrapReplicates; }),
        threshold(
            "alignment_drift_beyond", "", 0, 100000,
            "half-widths of its interval that a drift must exceed to be applied: the interval excludes none",
            guide, [](auto& s) -> auto& { return s.alignment.driftBeyond; }),
        threshold(
            "alignment_drift_from_s", "s", 0, 86400, "drift is looked for only in longer common time", guide,
            [](auto& s) -> auto& { return s.alignment.driftFrom.value; }),
    };
}

std::vector<Threshold> maskThresholds() {
    return {
        threshold(
            "alignment_follow_within_s", "s", 0, 86400,
            "a test value may lie where the reference is within this long; covers the smoothing of a device",
            ours, [](auto& s) -> auto& { return s.alignment.mask.tolerance_s; }),
        threshold(
            "alignment_out_noise", "", 0, 100000,
            "further outside that range than so many standard deviations of the noise, the device does not "
            "follow",
            ours, [](auto& s) -> auto& { return s.alignment.mask.outNoise; }),
        threshold(
            "alignment_least_out_bpm", "bpm", 0, 250, "least value of that limit", ours,
            [](auto& s) -> auto& { return s.alignment.mask.leastOut_bpm; }),
        threshold(
            "alignment_most_out_bpm", "bpm", 0, 250, "largest value of that limit", ours,
            [](auto& s) -> auto& { return s.alignment.mask.mostOut_bpm; }),
        threshold(
            "alignment_back_bpm", "bpm", 0, 250,
            "what does not follow is left out until the difference is back within this", ours,
            [](auto& s) -> auto& { return s.alignment.mask.back_bpm; }),
        threshold(
            "alignment_guard_s", "s", 0, 86400, "left out on either side as well", ours,
            [](auto& s) -> auto& { return s.alignment.mask.guard_s; }),
        threshold(
            "alignment_lag_s", "s", 0, 86400,
            "a minute that asks for a shift of its own by more than this lags and is left out", ours,
            [](auto& s) -> auto& { return s.alignment.mask.lag_s; }),
        threshold(
            "alignment_lag_removes", "", 0, 100000,
            "where that shift would take away more than this share of its squared difference", guide,
            [](auto& s) -> auto& { return s.alignment.mask.lagRemoves; }),
        threshold(
            "alignment_stuck_s", "s", 0, 86400,
            "a trace that stands still for so long while the other moves is left out",
            "field guide, section 3", [](auto& s) -> auto& { return s.alignment.mask.stuck_s; }),
        threshold(
            "alignment_stuck_span_bpm", "bpm", 0, 250, "what still counts as standing still",
            "field guide, section 3", [](auto& s) -> auto& { return s.alignment.mask.stuckSpan_bpm; }),
        threshold(
            "alignment_moving_bpm", "bpm", 0, 250, "what the other trace must span meanwhile",
            "field guide, section 3", [](auto& s) -> auto& { return s.alignment.mask.moving_bpm; }),
    };
}

/// All of them, in the order of the steps. Made once: they are words and functions, no state.
const std::vector<Threshold>& allThresholds() {
    static const std::vector<Threshold> all = [] {
        std::vector<Threshold> list = pairingThresholds();
        for (auto part : {alignmentThresholds(), maskThresholds(), flagThresholds()})
            list.insert(list.end(), part.begin(), part.end());
        return list;
    }();
    return all;
}

Fault wrongThreshold(std::string message) {
    return {FaultCode::WrongUsage, std::move(message), {}, {}, {}};
}

}  // namespace

std::vector<SettingRow> settingsTable(const Settings& settings) {
    const Settings standard;
    std::vector<SettingRow> rows;
    for (const auto& threshold : allThresholds())
        rows.push_back({threshold.key, threshold.get(settings), threshold.unit, threshold.reason,
                        threshold.source, threshold.get(standard), threshold.lowest, threshold.highest,
                        threshold.set != nullptr});
    return rows;
}

Result<Done> setThreshold(Settings& settings, std::string_view key, double value) {
    const auto& all = allThresholds();
    const auto found = std::ranges::find(all, key, &Threshold::key);
    if (found == all.end()) return wrongThreshold(fmt::format("there is no threshold called \"{}\"", key));
    if (!found->set)
        return wrongThreshold(fmt::format("the threshold {} is fixed at {}", key, found->get(settings)));
    if (!(value >= found->lowest && value <= found->highest))
        return wrongThreshold(fmt::format("the threshold {} must lie between {} and {} {}, found {}", key,
                                          found->lowest, found->highest, found->unit, value));
    found->set(settings, value);
    return Done{};
}

Settings settingsWith(const std::map<std::string, double>& changed) {
    Settings settings;
    for (const auto& [key, value] : changed)
        static_cast<void>(setThreshold(settings, key, value));
    return settings;
}

std::string changedText(const Settings& settings) {
    std::string text;
    for (const auto& row : settingsTable(settings))
        if (row.value != row.standard) text += fmt::format("{}={};", row.key, row.value);
    return text;
}

std::size_t changedCount(const Settings& settings) {
    return static_cast<std::size_t>(std::ranges::count_if(
        settingsTable(settings), [](const SettingRow& row) { return row.value != row.standard; }));
}

}  // namespace beatwitness::analysis
