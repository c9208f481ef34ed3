#include "core/flags/own_jumps.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::flags {
namespace {

constexpr double habitFactor = 6.0;
constexpr double habitWindow_s = 300.0;
constexpr double leastGrowth_bpm = 4.0;
constexpr double returned = 0.45;  ///< of a jump may be left after the way back

/// A change that no heart makes, from one level to another.
struct Leap {
    std::size_t from = 0;  ///< last sample before
    std::size_t to = 0;    ///< first sample after
    double size_bpm = 0.0;
};

/// Median over windows of what the trace changes by within `within_s`: its habit, by sample.
std::vector<double> habitOf(const trace::SessionTrace& trace, double within_s) {
    std::vector<double> habit(trace.seconds.size(), 0.0);
    std::vector<double> steps;
    for (std::size_t begin = 0; begin < trace.seconds.size();) {
        std::size_t end = begin;
        steps.clear();
        while (end < trace.seconds.size() && trace.seconds[end] - trace.seconds[begin] < habitWindow_s) {
            std::size_t back = end;
            while (back > 0 && trace.joined[back] && trace.seconds[end] - trace.seconds[back - 1] <= within_s)
                --back;
            if (back == end && end > 0 && trace.joined[end]) --back;
            if (back < end) steps.push_back(std::abs((trace.rates[end] - trace.rates[back]).value));
            ++end;
        }
        double median = 0.0;
        if (!steps.empty()) {
            const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
            std::nth_element(steps.begin(), middle, steps.end());
            median = *middle;
        }
        std::fill(habit.begin() + static_cast<std::ptrdiff_t>(begin),
                  habit.begin() + static_cast<std::ptrdiff_t>(end), median);
        begin = end;
    }
    return habit;
}

std::vector<Leap> leapsOf(const trace::SessionTrace& trace, const SpikeSettings& settings) {
    const auto habit = habitOf(trace, settings.within_s);
    std::vector<Leap> leaps;
    for (std::size_t i = 1; i < trace.seconds.size(); ++i) {
        if (!trace.joined[i]) continue;
        for (std::size_t k = i; k-- > 0;) {
            const double apart_s = trace.seconds[i] - trace.seconds[k];
            if (k + 1 < i && apart_s > settings.within_s + 1e-6) break;
            const double size = (trace.rates[i] - trace.rates[k]).value;
            const double least =
                std::max({settings.leastJump_bpm, habitFactor * habit[i],
                          apart_s > settings.within_s ? settings.fastest_bpm_per_s * apart_s : 0.0});
            if (std::abs(size) >= least) {
                // One leap is seen from several samples: it goes on as long as it grows.
                if (!leaps.empty() && leaps.back().to >= k && leaps.back().size_bpm * size > 0) {
                    const double whole = (trace.rates[i] - trace.rates[leaps.back().from]).value;
                    if (std::abs(whole) > std::abs(leaps.back().size_bpm) + leastGrowth_bpm)
                        leaps.back() = {leaps.back().from, i, whole};
                } else {
                    leaps.push_back({k, i, size});
                }
                break;
            }
            if (!trace.joined[k]) break;
        }
    }
    return leaps;
}

double meanRate(const trace::SessionTrace& trace, std::size_t first, std::size_t last) {
    double sum = 0.0;
    for (std::size_t i = first; i <= last; ++i)
        sum += trace.rates[i].value;
    return sum / static_cast<double>(last - first + 1);
}

/// Whether the trace is back where it was before `away` once `home` is over.
bool takenBack(const trace::SessionTrace& trace, const Leap& away, const Leap& home) {
    const double left = std::abs((trace.rates[home.to] - trace.rates[away.from]).value);
    return away.size_bpm * home.size_bpm < 0 && left <= returned * std::abs(away.size_bpm);
}

Excursion excursionOf(const trace::SessionTrace& trace, const Leap* first, const Leap* last) {
    Excursion excursion;
    excursion.first = first->from + 1;
    excursion.last = last->to - 1;
    excursion.jumps = static_cast<std::size_t>(last - first) + 1;
    for (const Leap* leap = first; leap <= last; ++leap)
        if (std::abs(leap->size_bpm) > std::abs(excursion.size_bpm)) excursion.size_bpm = leap->size_bpm;
    const double outside = 0.5 * (trace.rates[first->from].value + trace.rates[last->to].value);
    excursion.ratio = meanRate(trace, first->to, std::max(first->to, last->from)) / outside;
    const double length_s = trace.seconds[last->from] - trace.seconds[first->to];
    if (excursion.jumps == 2 && length_s >= 9.0) {
        if (excursion.ratio >= 1.75 && excursion.ratio <= 2.25) excursion.shape = Excursion::Shape::Doubled;
        if (excursion.ratio >= 0.44 && excursion.ratio <= 0.57) excursion.shape = Excursion::Shape::Halved;
    }
    return excursion;
}

}  // namespace

std::vector<Excursion> ownExcursions(const trace::SessionTrace& trace, const SpikeSettings& spike,
                                     const ReferenceSettings& reference) {
    const auto leaps = leapsOf(trace, spike);
    std::vector<Excursion> excursions;
    for (std::size_t i = 0; i < leaps.size();) {
        std::size_t last = i;
        while (last + 1 < leaps.size()) {
            const double apart_s = trace.seconds[leaps[last + 1].to] - trace.seconds[leaps[last].to];
            const bool train = apart_s <= spike.train_s;
            const bool wayBack = last == i && apart_s <= reference.longestPlateau_s &&
                                 takenBack(trace, leaps[i], leaps[last + 1]);
            if (!train && !wayBack) break;
            ++last;
        }
        if (last > i) excursions.push_back(excursionOf(trace, &leaps[i], &leaps[last]));
        i = last + 1;
    }
    return excursions;
}

}  // namespace beatwitness::flags
