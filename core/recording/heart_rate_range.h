#pragma once

namespace beatwitness::recording {

/// Lowest and highest heart rate taken for one, both inclusive, in bpm. Source: the batch contract.
inline constexpr double lowestValid_bpm = 25.0;
inline constexpr double highestValid_bpm = 250.0;

/// False for NaN.
[[nodiscard]] constexpr bool isValidHeartRate(double rate_bpm) {
    return rate_bpm >= lowestValid_bpm && rate_bpm <= highestValid_bpm;
}

}  // namespace beatwitness::recording
