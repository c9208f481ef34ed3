#include "core/library/same_samples.h"

#include <algorithm>
#include <cmath>
#include <span>

namespace beatwitness::library {
namespace {

using Trace = trace::Trace<RecordingClock>;

/// Share of the samples of either trace that must stand in the other.
constexpr double nearlyAll = 0.98;
constexpr std::size_t fewestSamples = 30;
/// A trace that changes its rate less often may agree with another by chance.
constexpr std::size_t fewestChanges = 12;
/// Whole beats against tenths of them.
constexpr double rounding_bpm = 0.5 + 1e-6;
/// Milliseconds against microseconds.
constexpr std::int64_t rounding_us = 1500;

struct Stretch {
    std::span<const RecordingTime> times;
    std::span<const Bpm> rates;

    Stretch(const Trace& trace, const Span<RecordingClock>& span) {
        const auto first = std::ranges::lower_bound(trace.times, span.begin) - trace.times.begin();
        const auto last = std::ranges::upper_bound(trace.times, span.end) - trace.times.begin();
        const auto size = static_cast<std::size_t>(std::max<std::ptrdiff_t>(last - first, 0));
        times = std::span{trace.times}.subspan(static_cast<std::size_t>(first), size);
        rates = std::span{trace.rates}.subspan(static_cast<std::size_t>(first), size);
    }

    [[nodiscard]] bool isOfWholeSeconds() const {
        return std::ranges::all_of(
            times, [](RecordingTime time) { return time.time_since_epoch().count() % 1'000'000 == 0; });
    }
    [[nodiscard]] std::size_t changes() const {
        std::size_t count = 0;
        for (std::size_t i = 1; i < rates.size(); ++i)
            count += std::abs((rates[i] - rates[i - 1]).value) >= 0.5;
        return count;
    }
};

enum class Rounding { None, Down, Nearest };

std::int64_t rounded(RecordingTime time, Rounding rounding) {
    constexpr std::int64_t second = 1'000'000;
    const std::int64_t us = time.time_since_epoch().count();
    if (rounding == Rounding::None) return us;
    const std::int64_t shifted = rounding == Rounding::Nearest ? us + second / 2 : us;
    return shifted - ((shifted % second) + second) % second;
}

std::size_t matches(const Stretch& a, const Stretch& b, Rounding rounding) {
    const std::int64_t tolerance_us = rounding == Rounding::None ? rounding_us : 0;
    std::size_t count = 0, at = 0;
    for (std::size_t i = 0; i < a.times.size(); ++i) {
        const std::int64_t time = rounded(a.times[i], rounding);
        while (at < b.times.size() && rounded(b.times[at], rounding) < time - tolerance_us)
            ++at;
        for (std::size_t k = at; k < b.times.size() && rounded(b.times[k], rounding) <= time + tolerance_us;
             ++k) {
            if (std::abs((a.rates[i] - b.rates[k]).value) > rounding_bpm) continue;
            ++count;
            break;
        }
    }
    return count;
}

}  // namespace

bool sameSamples(const Trace& a, const Trace& b, const Span<RecordingClock>& span, bool sameDevice) {
    const Stretch inA{a, span}, inB{b, span};
    const std::size_t fewer = std::min(inA.times.size(), inB.times.size());
    const std::size_t more = std::max(inA.times.size(), inB.times.size());
    if (fewer == 0 || static_cast<double>(fewer) < nearlyAll * static_cast<double>(more)) return false;
    if (!sameDevice && (fewer < fewestSamples || inA.changes() < fewestChanges)) return false;
    const auto suffices = [&](Rounding rounding) {
        return static_cast<double>(matches(inA, inB, rounding)) >= nearlyAll * static_cast<double>(more);
    };
    if (suffices(Rounding::None)) return true;
    if (!inA.isOfWholeSeconds() && !inB.isOfWholeSeconds()) return false;
    return suffices(Rounding::Down) || suffices(Rounding::Nearest);
}

}  // namespace beatwitness::library
