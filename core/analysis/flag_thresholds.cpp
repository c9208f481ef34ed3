#include "core/analysis/thresholds.h"

namespace beatwitness::analysis {
namespace {

constexpr std::string_view contract = "batch contract";
constexpr std::string_view ours = "our default, by generated pairs";
constexpr std::string_view guide3 = "field guide, section 3";

std::vector<Threshold> followingThresholds() {
    return {
        threshold(
            "flag_follow_within_s", "s", 0, 30,
            "a test value may lie where the reference is within this long: smoothing is no fault", ours,
            [](auto& s) -> auto& { return s.flags.follow.tolerance_s; }),
        threshold(
            "flag_least_noise_bpm", "bpm", 0.1, 20,
            "least value of a session's own noise (sd), which is taken from its errors", ours,
            [](auto& s) -> auto& { return s.flags.follow.leastNoise_bpm; }),
        threshold(
            "flag_most_noise_bpm", "bpm", 0.1, 50,
            "largest value of that noise: a device that is off half of the time must not excuse itself", ours,
            [](auto& s) -> auto& { return s.flags.follow.mostNoise_bpm; }),
        threshold(
            "flag_most_bias_bpm", "bpm", 0, 20, "a constant difference up to this is no fault of any second",
            ours, [](auto& s) -> auto& { return s.flags.follow.mostBias_bpm; }),
        threshold(
            "flag_wrong_bpm", "bpm", 0, 50,
            "seconds at the edges of a fault with a smaller error are not wrong because of it", contract,
            [](auto& s) -> auto& { return s.flags.follow.wrong_bpm; }),
        threshold(
            "flag_join_s", "s", 0, 60, "flags of one kind at most so far apart are one", contract,
            [](auto& s) -> auto& { return s.flags.join_s; }),
    };
}

std::vector<Threshold> ratesAndJumpsThresholds() {
    return {
        threshold(
            "flag_spike_jump_bpm", "bpm", 5, 100,
            "a jump of this size, away and back, is one that no heart makes", guide3,
            [](auto& s) -> auto& { return s.flags.spike.leastJump_bpm; }),
        threshold(
            "flag_spike_within_s", "s", 1, 10, "in so long, or between two neighbouring samples", guide3,
            [](auto& s) -> auto& { return s.flags.spike.within_s; }),
        threshold(
            "flag_fastest_bpm_per_s", "bpm/s", 1, 20,
            "no heart changes faster for longer: what samples further apart must exceed to be a jump", guide3,
            [](auto& s) -> auto& { return s.flags.spike.fastest_bpm_per_s; }),
        threshold(
            "flag_spike_back_s", "s", 1, 60, "a jump that is not back within this is none", guide3,
            [](auto& s) -> auto& { return s.flags.spike.back_s; }),
        threshold(
            "flag_spike_train_s", "s", 0, 120, "jumps at most this far apart are one flag", contract,
            [](auto& s) -> auto& { return s.flags.spike.train_s; }),
        threshold(
            "flag_rate_least_s", "s", 3, 120, "a shorter stretch at half or twice the rate is none", guide3,
            [](auto& s) -> auto& { return s.flags.rate.least_s; }),
        threshold(
            "flag_half_lowest", "", 0.3, 0.5, "least ratio of half rate", contract,
            [](auto& s) -> auto& { return s.flags.rate.halfLowest; }),
        threshold(
            "flag_half_highest", "", 0.5, 0.7, "largest ratio of half rate", contract,
            [](auto& s) -> auto& { return s.flags.rate.halfHighest; }),
        threshold(
            "flag_double_lowest", "", 1.5, 2, "least ratio of double rate", guide3,
            [](auto& s) -> auto& { return s.flags.rate.doubleLowest; }),
        threshold(
            "flag_double_highest", "", 2, 2.5, "largest ratio of double rate", guide3,
            [](auto& s) -> auto& { return s.flags.rate.doubleHighest; }),
        threshold(
            "flag_double_below_bpm", "bpm", 40, 250, "twice a higher reference would be no valid heart rate",
            guide3, [](auto& s) -> auto& { return s.flags.rate.doubleReferenceBelow_bpm; }),
        threshold(
            "flag_rate_share", "", 0.5, 1, "share of the seconds that must have the ratio", guide3,
            [](auto& s) -> auto& { return s.flags.rate.share; }),
        threshold(
            "flag_rate_entry_step", "", 0, 1,
            "a step of this share of the reference tells a ratio that was entered from one passed by chance",
            ours, [](auto& s) -> auto& { return s.flags.rate.entryStep; }),
        threshold(
            "flag_rate_least_follow", "", 0, 1,
            "following this share of what the reference does tells it as well", ours,
            [](auto& s) -> auto& { return s.flags.rate.leastFollow; }),
        threshold(
            "flag_cadence_within_bpm", "bpm", 1, 20, "how near to a multiple of the cadence", guide3,
            [](auto& s) -> auto& { return s.flags.cadence.within_bpm; }),
        threshold(
            "flag_cadence_least_s", "s", 5, 300, "for at least so long", guide3,
            [](auto& s) -> auto& { return s.flags.cadence.least_s; }),
        threshold(
            "flag_cadence_share", "", 0.5, 1, "in this share of the seconds", guide3,
            [](auto& s) -> auto& { return s.flags.cadence.share; }),
        threshold(
            "flag_cadence_away_bpm", "bpm", 0, 50,
            "while the reference is further away: nearer, cadence and heart rate are the same by chance",
            guide3, [](auto& s) -> auto& { return s.flags.cadence.away_bpm; }),
        threshold(
            "flag_cadence_telling_share", "", 0, 1,
            "an explanation this much nearer than the other one tells lock and ratio apart; else the flag "
            "says either",
            ours, [](auto& s) -> auto& { return s.flags.cadence.tellingShare; }),
        threshold(
            "flag_cadence_step_bpm", "bpm", 0, 100, "least jump onto the cadence", ours,
            [](auto& s) -> auto& { return s.flags.cadence.entryStep_bpm; }),
        threshold(
            "flag_cadence_step_share", "", 0, 1,
            "least jump as a share of the distance to the reference: a drift comes by the cadence slowly",
            ours, [](auto& s) -> auto& { return s.flags.cadence.entryShare; }),
    };
}

std::vector<Threshold> stillnessAndEffortsThresholds() {
    return {
        threshold(
            "flag_stuck_least_s", "s", 5, 600, "a value that stands for less is not stuck", guide3,
            [](auto& s) -> auto& { return s.flags.stuck.least_s; }),
        threshold(
            "flag_stuck_span_bpm", "bpm", 0, 5, "a lone sample may stray by this much", guide3,
            [](auto& s) -> auto& { return s.flags.stuck.span_bpm; }),
        threshold(
            "flag_stuck_same_share", "", 0.5, 1, "share of samples with the very same value", ours,
            [](auto& s) -> auto& { return s.flags.stuck.sameShare; }),
        threshold(
            "flag_stuck_chance", "", 0, 1,
            "most chance that the device's own habits give to standing still so long", ours,
            [](auto& s) -> auto& { return s.flags.stuck.chance; }),
        threshold(
            "flag_stuck_moving_bpm", "bpm", 0, 100, "what the reference must span meanwhile", guide3,
            [](auto& s) -> auto& { return s.flags.stuck.moving_bpm; }),
        threshold(
            "flag_stuck_error_bpm", "bpm", 0, 100, "or the error that must be exceeded", guide3,
            [](auto& s) -> auto& { return s.flags.stuck.error_bpm; }),
        threshold(
            "flag_missed_rise_bpm", "bpm", 5, 100, "a smaller rise is none to miss", guide3,
            [](auto& s) -> auto& { return s.flags.effort.leastRise_bpm; }),
        threshold(
            "flag_change_bpm", "bpm", 5, 100, "a smaller change is none to be late for", guide3,
            [](auto& s) -> auto& { return s.flags.effort.leastChange_bpm; }),
        threshold(
            "flag_missed_share", "", 0, 1, "less of a rise followed is missed", guide3,
            [](auto& s) -> auto& { return s.flags.effort.missedShare; }),
        threshold(
            "flag_damped_share", "", 0, 1, "less of a change followed is damped", contract,
            [](auto& s) -> auto& { return s.flags.effort.dampedShare; }),
        threshold(
            "flag_share_leaves", "", 0, 1,
            "largest share of the error that following in part may leave to be the explanation", ours,
            [](auto& s) -> auto& { return s.flags.effort.shareLeaves; }),
        threshold(
            "flag_effort_least_s", "s", 3, 120, "shorter episodes are none", ours,
            [](auto& s) -> auto& { return s.flags.effort.least_s; }),
        threshold(
            "flag_least_lag_s", "s", 1, 60, "a smaller shift is the smoothing of a device", guide3,
            [](auto& s) -> auto& { return s.flags.effort.leastLag_s; }),
        threshold(
            "flag_most_lag_s", "s", 10, 300, "a device that comes later has missed the change", guide3,
            [](auto& s) -> auto& { return s.flags.effort.mostLag_s; }),
        threshold(
            "flag_brief_share", "", 0, 1,
            "share of a brief peak that a device which is only smooth shows at least", ours,
            [](auto& s) -> auto& { return s.flags.effort.briefShare; }),
        threshold(
            "flag_lag_within_bpm", "bpm", 0, 50, "largest mean error that a lag may leave", ours,
            [](auto& s) -> auto& { return s.flags.effort.lagWithin_bpm; }),
        threshold(
            "flag_brief_s", "s", 0, 300,
            "in shorter episodes a device that reaches the damped share is only smooth, as a sound one may "
            "be",
            ours, [](auto& s) -> auto& { return s.flags.effort.brief_s; }),
        threshold(
            "flag_lag_reaches", "", 0, 1, "share of the change that a late device shows in the end", guide3,
            [](auto& s) -> auto& { return s.flags.effort.lagReaches; }),
        threshold(
            "flag_lag_left_later", "", 0, 1,
            "largest share of the error that a lag may leave, the aftermath included, where the device "
            "hardly moves: a level that stays is the reference of long ago as well",
            ours, [](auto& s) -> auto& { return s.flags.effort.leftLater; }),
        threshold(
            "flag_lag_leaves", "", 0, 1, "largest share of the error that a lag may leave", guide3,
            [](auto& s) -> auto& { return s.flags.effort.lagLeaves; }),
        threshold(
            "flag_adrift_bpm", "bpm", 1, 100, "an unexplained error above this", contract,
            [](auto& s) -> auto& { return s.flags.adrift.away_bpm; }),
        threshold(
            "flag_adrift_share", "", 0, 1, "and above this share of the reference", contract,
            [](auto& s) -> auto& { return s.flags.adrift.awayShare; }),
        threshold(
            "flag_adrift_least_s", "s", 5, 600, "for so long is adrift", contract,
            [](auto& s) -> auto& { return s.flags.adrift.least_s; }),
    };
}

std::vector<Threshold> referenceAndDecodingThresholds() {
    return {
        threshold(
            "flag_reference_still_s", "s", 5, 600, "a reference that stands for less is not stuck", guide3,
            [](auto& s) -> auto& { return s.flags.reference.still_s; }),
        threshold(
            "flag_reference_still_chance", "", 0, 1,
            "most chance that its own habits give to standing still so long", ours,
            [](auto& s) -> auto& { return s.flags.reference.stillChance; }),
        threshold(
            "flag_reference_release_bpm", "bpm", 1, 50,
            "step at an end of the standstill that tells a held value from steady riding", ours,
            [](auto& s) -> auto& { return s.flags.reference.release_bpm; }),
        threshold(
            "flag_reference_plateau_s", "s", 10, 1800,
            "a jump of the reference and the jump back lie at most so far apart", ours,
            [](auto& s) -> auto& { return s.flags.reference.longestPlateau_s; }),
        threshold(
            "flag_suspect_agreeing_bpm", "bpm", 0, 50, "two devices this near to each other", contract,
            [](auto& s) -> auto& { return s.flags.reference.agreeing_bpm; }),
        threshold(
            "flag_suspect_bpm", "bpm", 1, 100, "and this far from the reference", ours,
            [](auto& s) -> auto& { return s.flags.reference.suspect_bpm; }),
        threshold(
            "flag_suspect_s", "s", 5, 600, "for so long raise a suspicion against the reference", ours,
            [](auto& s) -> auto& { return s.flags.reference.suspect_s; }),
        threshold(
            "flag_decoding_independence", "", 0.05, 1,
            "share of a second that is news when the likeliest path is decoded: errors of neighbours repeat "
            "each other",
            ours, [](auto& s) -> auto& { return s.flags.decoding.independence; }),
        threshold(
            "flag_decoding_most_nats", "nat", 1, 100, "what one second can cost at most, however far off",
            ours, [](auto& s) -> auto& { return s.flags.decoding.mostCost; }),
        threshold(
            "flag_decoding_unexplained_nats", "nat", 0.5, 20,
            "what a second costs that follows nothing: anywhere within some 100 bpm", ours,
            [](auto& s) -> auto& { return s.flags.decoding.unexplained; }),
        threshold(
            "flag_decoding_enter_nats", "nat", 0, 50, "what it costs to go from following into a fault", ours,
            [](auto& s) -> auto& { return s.flags.decoding.enter; }),
        threshold(
            "flag_decoding_back_nats", "nat", 0, 50, "and back", ours,
            [](auto& s) -> auto& { return s.flags.decoding.back; }),
    };
}

}  // namespace

std::vector<Threshold> flagThresholds() {
    std::vector<Threshold> all = followingThresholds();
    for (auto part :
         {ratesAndJumpsThresholds(), stillnessAndEffortsThresholds(), referenceAndDecodingThresholds()})
        all.insert(all.end(), part.begin(), part.end());
    return all;
}

}  // namespace beatwitness::analysis
