#pragma once

namespace beatwitness::flags {

/// Thresholds of the detectors, one struct each. Units stand in the names; reasons and sources in
/// analysis/settings_table.cpp.

/// What counts as following at all.
struct FollowSettings {
    double tolerance_s = 4.0;  ///< a value may lie where the reference is within this long; covers smoothing
    double leastNoise_bpm = 1.5;  ///< bounds of the noise (sd) that is taken from the session itself
    double mostNoise_bpm = 4.0;
    double mostBias_bpm = 4.0;  ///< a constant difference up to this is no fault of any second
    double wrong_bpm = 4.0;     ///< seconds at the edges of an episode with a smaller error are not wrong
};

/// Jumps that no heart makes.
struct SpikeSettings {
    double leastJump_bpm = 15.0;
    double within_s = 2.0;           ///< ... in so long, or between two samples ...
    double fastest_bpm_per_s = 5.0;  ///< ... if they are faster than this
    double back_s = 10.0;            ///< and back within
    double train_s = 30.0;           ///< jumps at most this far apart are one flag
};

/// Half, double.
struct RateSettings {
    double least_s = 10.0;
    double halfLowest = 0.45, halfHighest = 0.55;
    double doubleLowest = 1.85, doubleHighest = 2.15;
    double doubleReferenceBelow_bpm = 125.0;
    double share = 0.8;        ///< of the seconds must have the ratio
    double entryStep = 0.2;    ///< of the reference: a step of this size at an end ...
    double leastFollow = 0.5;  ///< ... or following the changes of the reference by this share is needed
};

struct CadenceSettings {
    double within_bpm = 5.0;  ///< of a multiple of the cadence ...
    double least_s = 20.0;    ///< ... for so long ...
    double share = 0.8;       ///< ... in this share of the seconds ...
    double away_bpm = 10.0;   ///< ... while the reference is further away than this
    double tellingShare =
        0.75;  ///< nearer than this share of the distance of the other explanation tells the two apart
    double entryStep_bpm = 10.0;  ///< a jump onto the cadence of so much ...
    double entryShare =
        0.65;  ///< ... and of this share of the distance to the reference tells it from a drift
};

struct StuckSettings {
    double least_s = 20.0;
    double span_bpm = 1.0;
    double sameShare = 0.9;   ///< share of samples with the very same value
    double chance = 1e-4;     ///< most that the trace's own habits give to standing still so long
    double moving_bpm = 8.0;  ///< what the other trace must span, ...
    double error_bpm = 8.0;   ///< ... or the error that must be exceeded
};

/// Rises and falls: missed, late, damped.
struct EffortSettings {
    double leastRise_bpm = 20.0;    ///< a smaller rise is none to miss
    double leastChange_bpm = 15.0;  ///< a smaller change is none to be late for
    double missedShare = 0.3;       ///< less of the rise followed is missed
    double dampedShare = 0.8;       ///< less of the change followed is damped
    double shareLeaves = 0.5;       ///< share of the error that a followed share may leave
    double least_s = 10.0;          ///< shorter episodes are none
    double leastLag_s = 8.0;
    double mostLag_s = 90.0;
    double brief_s = 40.0;  ///< in shorter episodes a device whose peak reaches briefShare is only smooth
    double briefShare = 0.65;
    double lagReaches = 0.6;     ///< share of the change that a late device shows in the end
    double lagWithin_bpm = 6.0;  ///< mean error that a lag may leave
    double leftLater = 0.3;      ///< the same with the aftermath, asked for where the device hardly moves
    double lagLeaves = 0.5;      ///< share of the error that a lag may leave
};

struct AdriftSettings {
    double away_bpm = 10.0;
    double awayShare = 0.1;
    double least_s = 20.0;
};

/// The reference's own evidence.
struct ReferenceSettings {
    double still_s = 20.0;            ///< a standstill of so long ...
    double stillChance = 1e-3;        ///< ... that its habits give at most this chance ...
    double release_bpm = 4.0;         ///< ... with a step of this size at an end is a held value
    double longestPlateau_s = 300.0;  ///< between a jump away and the jump back
    double agreeing_bpm = 5.0;        ///< two tests this close to each other ...
    double suspect_bpm = 10.0;        ///< ... and this far from the reference ...
    double suspect_s = 20.0;          ///< ... for so long make a suspicion
};

/// Costs of the decoding, in nats; see decode_states.h.
struct DecodingSettings {
    double independence = 0.4;  ///< share of a second that is news: errors of neighbours repeat each other
    double mostCost = 12.0;     ///< of one second, however far off
    double unexplained = 3.0;   ///< of a second that follows nothing: anywhere within some 100 bpm
    double enter = 4.0;         ///< from following into a fault
    double back = 1.0;          ///< and back
};

struct Settings {
    FollowSettings follow;
    SpikeSettings spike;
    RateSettings rate;
    CadenceSettings cadence;
    StuckSettings stuck;
    EffortSettings effort;
    AdriftSettings adrift;
    ReferenceSettings reference;
    DecodingSettings decoding;
    double join_s = 5.0;  ///< flags of one kind at most so far apart are one
};

}  // namespace beatwitness::flags
