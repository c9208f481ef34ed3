#pragma once

#include <cstdint>

namespace beatwitness::alignment {

/// When a test does not follow the reference; see usedSeconds() in fine_fit.h.
struct MaskSettings {
    double tolerance_s =
        4.0;  ///< a test value may lie where the reference is within this long; covers smoothing
    double outNoise = 4.5;      ///< further outside that range than so many noise sds, ...
    double leastOut_bpm = 4.0;  ///< ... but at least ...
    double mostOut_bpm = 8.0;   ///< ... and at most so much: the device does not follow
    double back_bpm = 3.0;  ///< an episode lasts until the difference, second by second, is back within this
    std::int64_t guard_s = 6;  ///< seconds taken away on either side of an episode
    double lag_s = 6.0;        ///< a minute that asks for a shift of its own by more than this ...
    double lagRemoves =
        0.5;  ///< ... which would take away more than this share of its squared difference lags
    std::int64_t stuck_s = 20;   ///< a trace that does not move for so long ...
    double stuckSpan_bpm = 1.0;  ///< ... by more than this ...
    double moving_bpm = 8.0;     ///< ... while the other moves by this much is stuck
};

}  // namespace beatwitness::alignment
