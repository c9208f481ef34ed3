#include "core/alignment/device_smoothing.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <deque>
#include <functional>

namespace beatwitness::alignment {
namespace {

constexpr std::array timeConstants_s{6.0, 10.0, 15.0, 22.0, 30.0};
constexpr double delayStep_s = 2.0;
constexpr double clearlyCloser = 0.8;  // of the median distance without smoothing
constexpr std::int64_t points = 1000;

/// Most extreme valid value within `reach` seconds, for every second; the value itself where there is none.
template <class Better>
std::vector<double> extreme(const SecondGrid& grid, const std::vector<double>& values, std::int64_t reach,
                            Better better) {
    std::vector<double> out(values.size(), 0.0);
    std::deque<std::int64_t> window;  // indices whose values get worse
    const std::int64_t n = grid.size();
    for (std::int64_t i = 0; i < n + reach; ++i) {
        if (i < n && grid.valid[i]) {
            while (!window.empty() && !better(values[window.back()], values[i]))
                window.pop_back();
            window.push_back(i);
        }
        const std::int64_t centre = i - reach;
        if (centre < 0) continue;
        while (!window.empty() && window.front() < centre - reach)
            window.pop_front();
        out[centre] = window.empty() ? values[centre] : values[window.front()];
    }
    return out;
}

/// Holds its value over holes.
std::vector<double> lowPassed(const SecondGrid& grid, double tau_s) {
    std::vector<double> out(grid.values.size(), 0.0);
    const double keep = std::exp(-1.0 / tau_s);
    double value = 0.0;
    bool begun = false;
    for (std::size_t i = 0; i < out.size(); ++i) {
        if (grid.valid[i]) value = begun ? keep * value + (1 - keep) * grid.values[i] : grid.values[i];
        begun = begun || grid.valid[i];
        out[i] = value;
    }
    return out;
}

double at(const std::vector<double>& values, double index) {
    const double inside = std::clamp(index, 0.0, static_cast<double>(values.size() - 1));
    const auto i = std::min(static_cast<std::size_t>(inside), values.size() - 1);
    const std::size_t next = std::min(i + 1, values.size() - 1);
    return values[i] + (inside - static_cast<double>(i)) * (values[next] - values[i]);
}

/// Median distance between `test` (at the reference's seconds, NaN where absent) and `shown`, about their
/// median difference. Every `stride` seconds.
double distance(const std::vector<double>& test, const std::vector<double>& shown, double delay_s,
                std::size_t stride) {
    std::vector<double> differences;
    for (std::size_t i = 0; i < test.size(); i += stride)
        if (!std::isnan(test[i]))
            differences.push_back(test[i] - at(shown, static_cast<double>(i) + delay_s));
    if (differences.size() < 60) return 0.0;
    const auto middle = differences.begin() + static_cast<std::ptrdiff_t>(differences.size() / 2);
    std::nth_element(differences.begin(), middle, differences.end());
    const double median = *middle;
    double sum = 0.0;
    for (const double difference : differences)
        sum += std::min(std::abs(difference - median), 12.0);
    return sum / static_cast<double>(differences.size());
}

}  // namespace

Shown shownBy(const SecondGrid& reference, const DeviceSmoothing& smoothing, double tolerance_s) {
    Shown shown;
    shown.values = reference.values;
    if (smoothing.tau_s > 0) {
        const auto slow = lowPassed(reference, smoothing.tau_s);
        for (std::size_t i = 0; i < slow.size(); ++i)
            shown.values[i] = at(slow, static_cast<double>(i) + smoothing.delay_s);
    }
    const auto reach = static_cast<std::int64_t>(std::ceil(tolerance_s));
    shown.highest = extreme(reference, shown.values, reach, std::greater<>{});
    shown.lowest = extreme(reference, shown.values, reach, std::less<>{});
    return shown;
}

DeviceSmoothing smoothingOf(const SecondGrid& reference, const SecondGrid& test, const ClockFit& fit) {
    const auto values = testOnReference(reference, test, fit);
    const auto stride = static_cast<std::size_t>(std::max<std::int64_t>(1, reference.size() / points));
    DeviceSmoothing best;
    double least = clearlyCloser * distance(values, reference.values, 0.0, stride);
    for (const double tau_s : timeConstants_s) {
        const auto slow = lowPassed(reference, tau_s);
        for (double delay_s = 0.0; delay_s <= tau_s + 4; delay_s += delayStep_s) {
            const double here = distance(values, slow, delay_s, stride);
            if (here >= least) continue;
            least = here;
            best = {tau_s, delay_s};
        }
    }
    return best;
}

}  // namespace beatwitness::alignment
