#include "core/analysis/settings_table.h"

#include "core/recording/heart_rate_range.h"

namespace beatwitness::analysis {

std::vector<SettingRow> settingsTable(const Settings& settings) {
    constexpr std::string_view contract = "batch contract";
    constexpr std::string_view ours = "our default";
    constexpr std::string_view guide = "field guide, section 4";
    const auto& alignment = settings.alignment;
    return {
        {"max_gap_s", settings.pairing.maxGap.value, "s", "samples further apart are not joined by a line",
         contract},
        {"lowest_valid_bpm", recording::lowestValid_bpm, "bpm", "lower readings are missing samples",
         contract},
        {"highest_valid_bpm", recording::highestValid_bpm, "bpm", "higher readings are missing samples",
         contract},
        {"alignment_smoothing_s", alignment.smoothing.value, "s",
         "sigma of the Gaussian that both traces are smoothed by before they are compared", contract},
        {"alignment_search_s", alignment.searchRadius.value, "s",
         "how far around each hypothesis a clock is looked for", guide},
        {"alignment_least_overlap_s", alignment.leastOverlap.value, "s", "less common time is refused",
         guide},
        {"alignment_least_range_bpm", alignment.leastRange.value, "bpm",
         "a reference whose 5th to 95th percentile spans less is refused as flat", guide},
        {"alignment_least_change_bpm", alignment.leastChange.value, "bpm",
         "a change of this size that the device follows is needed", guide},
        {"alignment_least_bend_bpm", alignment.leastBend.value, "bpm",
         "a reference whose spread about its straight line is smaller is a ramp: a shift and a bias look "
         "alike",
         ours},
        {"alignment_worst_score", alignment.worstScore, "",
         "share of the loss of unrelated traces above which two recordings are taken for unrelated", ours},
        {"alignment_least_used", alignment.leastUsed, "",
         "share of the common time in which the test must follow the reference", ours},
        {"alignment_least_explained_nats", alignment.leastExplained, "nat/s",
         "gain in log-likelihood a second over two unrelated recordings that is asked for", ours},
        {"alignment_partial_costs_nats", alignment.partialCosts, "nat/s",
         "as much more where only a part of the shorter recording is in common: short stretches look alike "
         "by "
         "chance",
         ours},
        {"alignment_longest_lag_s", alignment.longestLag.value, "s",
         "of two offsets closer than this one may be the lag of the other", "field guide, section 3"},
        {"alignment_lag_margin", alignment.lagMargin, "",
         "share of the evidence that an offset may lack and yet be taken for being later: a device lags, it "
         "never leads",
         ours},
        {"alignment_widest_interval_s", alignment.widestInterval.value, "s", "a wider interval is refused",
         guide},
        {"alignment_alias_distance_s", alignment.aliasDistance.value, "s",
         "a second minimum further away than this makes the offset ambiguous", guide},
        {"alignment_alias_margin", alignment.aliasMargin, "",
         "share of the loss within which a second minimum counts as good as the first", guide},
        {"alignment_follow_within_s", alignment.mask.tolerance_s, "s",
         "a test value may lie where the reference is within this long; covers the smoothing of a device",
         ours},
        {"alignment_out_noise", alignment.mask.outNoise, "",
         "further outside that range than so many standard deviations of the noise, the device does not "
         "follow",
         ours},
        {"alignment_least_out_bpm", alignment.mask.leastOut_bpm, "bpm", "least value of that limit", ours},
        {"alignment_most_out_bpm", alignment.mask.mostOut_bpm, "bpm", "largest value of that limit", ours},
        {"alignment_back_bpm", alignment.mask.back_bpm, "bpm",
         "what does not follow is left out until the difference is back within this", ours},
        {"alignment_guard_s", static_cast<double>(alignment.mask.guard_s), "s",
         "left out on either side as well", ours},
        {"alignment_lag_s", alignment.mask.lag_s, "s",
         "a minute that asks for a shift of its own by more than this lags and is left out", ours},
        {"alignment_lag_removes", alignment.mask.lagRemoves, "",
         "where that shift would take away more than this share of its squared difference", guide},
        {"alignment_stuck_s", static_cast<double>(alignment.mask.stuck_s), "s",
         "a trace that stands still for so long while the other moves is left out", "field guide, section 3"},
        {"alignment_stuck_span_bpm", alignment.mask.stuckSpan_bpm, "bpm",
         "what still counts as standing still", "field guide, section 3"},
        {"alignment_moving_bpm", alignment.mask.moving_bpm, "bpm", "what the other trace must span meanwhile",
         "field guide, section 3"},
        {"alignment_block_s", alignment.bootstrapBlock.value, "s",
         "length of the blocks that are resampled for the interval", guide},
        {"alignment_replicates", static_cast<double>(alignment.bootstrapReplicates), "",
         "resamples behind the interval", ours},
        {"alignment_drift_beyond", alignment.driftBeyond, "",
         "half-widths of its interval that a drift must exceed to be applied: the interval excludes none",
         guide},
        {"alignment_drift_from_s", alignment.driftFrom.value, "s",
         "drift is looked for only in longer common time", guide},
    };
}

}  // namespace beatwitness::analysis
