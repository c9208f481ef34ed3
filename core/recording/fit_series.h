#pragma once

#include <vector>

#include "core/foundation/clocks.h"

namespace beatwitness::recording {

/// The values of one channel while a file is read. Both vectors have one length.
struct FitSeries {
    std::vector<RecordingTime> times;
    std::vector<double> values;

    void add(RecordingTime time, double value) {
        times.push_back(time);
        values.push_back(value);
    }
    void reserve(std::size_t count) {
        times.reserve(count);
        values.reserve(count);
    }
    [[nodiscard]] std::size_t size() const { return times.size(); }
    [[nodiscard]] bool empty() const { return times.empty(); }

    /// Keeps, in order, those (time, value) for which `keep` is true.
    template <class Keep>
    void keepOnly(Keep keep) {
        std::size_t kept = 0;
        for (std::size_t i = 0; i < times.size(); ++i) {
            if (!keep(times[i], values[i])) continue;
            times[kept] = times[i];
            values[kept++] = values[i];
        }
        times.resize(kept);
        values.resize(kept);
    }
};

/// Seconds as FIT stores them: from this value on they count from 1989-12-31T00:00:00Z; lower ones count from
/// when the device was switched on.
inline constexpr std::uint32_t firstFitDate = 0x10000000;
inline constexpr std::int64_t fitEpoch_s = 631065600;  ///< 1989-12-31T00:00:00Z, from 1970

/// On the clock of a recording: dates from 1970, times of a device that knows no date as they are.
[[nodiscard]] constexpr RecordingTime recordingTime(std::uint32_t stored) {
    const std::int64_t seconds = static_cast<std::int64_t>(stored) + (stored < firstFitDate ? 0 : fitEpoch_s);
    return RecordingTime{Micros{seconds * 1'000'000}};
}

/// False for times that count from when the device was switched on. No date of FIT is as low as the highest
/// of those.
[[nodiscard]] constexpr bool isDate(RecordingTime time) {
    return time.time_since_epoch() >= Micros{(fitEpoch_s + firstFitDate / 2) * 1'000'000};
}

}  // namespace beatwitness::recording
