#include "tests/support/generator_estimand.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace beatwitness::tests {

namespace {

constexpr double sigma_s = 3.0;
constexpr double step_s = 0.25;
constexpr double maxGap_s = 10.0;
constexpr std::size_t leastSeconds = 60;
/// Share of the Gaussian that must lie on sound seconds: at the edge of a gap it would look to one side, and
/// late.
constexpr double leastWeight = 0.97;

/// Samples in seconds since t0 by the file's own clock.
struct Points {
    std::vector<double> times;
    std::vector<double> values;
};

Points pointsOf(const recording::Recording& recording, std::int64_t t0_us) {
    Points points;
    const auto* channel = recording.channel(recording::ChannelKind::HeartRate);
    if (!channel) return points;
    for (std::size_t i = 0; i < channel->times.size(); ++i) {
        points.times.push_back(static_cast<double>(channel->times[i].time_since_epoch().count() - t0_us) *
                               1e-6);
        points.values.push_back(channel->values[i]);
    }
    return points;
}

/// A smoothed trace on a grid of its own clock.
struct Smooth {
    double begin_s = 0.0;
    std::vector<double> values;
    std::vector<char> sound;

    /// NaN where there is none. The grid is fine against the Gaussian: a line between its points errs below
    /// 0.01 bpm.
    [[nodiscard]] double at(double time_s) const {
        const double place = (time_s - begin_s) / step_s;
        if (place < 0.0) return std::numeric_limits<double>::quiet_NaN();
        const auto low = static_cast<std::size_t>(place);
        if (low + 1 >= values.size() || !sound[low] || !sound[low + 1])
            return std::numeric_limits<double>::quiet_NaN();
        const double part = place - static_cast<double>(low);
        return values[low] + part * (values[low + 1] - values[low]);
    }
};

/// The trace itself on the grid; not sound in gaps and faults.
Smooth unsmoothed(const Points& points, std::span<const FaultySpan> faulty) {
    Smooth grid{std::floor(points.times.front()), {}, {}};
    const auto count = static_cast<std::size_t>((points.times.back() - grid.begin_s) / step_s) + 1;
    std::size_t next = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const double time_s = grid.begin_s + static_cast<double>(i) * step_s;
        while (next < points.times.size() && points.times[next] < time_s - 1e-9)
            ++next;
        const bool inside = next > 0 && next < points.times.size();
        const double left_s = inside ? points.times[next - 1] : points.times.front();
        const double gap_s = inside ? points.times[next] - left_s : 0.0;
        const bool atSample = next < points.times.size() && std::abs(points.times[next] - time_s) <= 1e-6;
        const bool joined = inside && gap_s <= maxGap_s + 1e-6;
        double value = next < points.values.size() ? points.values[next] : 0.0;
        if (joined)
            value = points.values[next - 1] + (time_s - left_s) / gap_s * (value - points.values[next - 1]);
        grid.values.push_back(value);
        grid.sound.push_back(atSample || joined);
    }
    for (const auto& span : faulty) {
        for (std::size_t i = 0; i < count; ++i) {
            const double time_s = grid.begin_s + static_cast<double>(i) * step_s;
            if (time_s >= span.start_s && time_s <= span.end_s) grid.sound[i] = 0;
        }
    }
    return grid;
}

std::vector<double> gaussian() {
    std::vector<double> kernel;
    const auto reach = static_cast<int>(4 * sigma_s / step_s);
    for (int i = -reach; i <= reach; ++i)
        kernel.push_back(std::exp(-0.5 * std::pow(i * step_s / sigma_s, 2)));
    return kernel;
}

Smooth smoothed(const Smooth& raw) {
    const auto kernel = gaussian();
    const auto reach = static_cast<std::ptrdiff_t>(kernel.size() / 2);
    double whole = 0.0;
    for (const double weight : kernel)
        whole += weight;
    Smooth result = raw;
    const auto count = static_cast<std::ptrdiff_t>(raw.values.size());
    for (std::ptrdiff_t i = 0; i < count; ++i) {
        double sum = 0.0, weight = 0.0;
        for (auto k = std::max(i - reach, std::ptrdiff_t{0}); k <= std::min(i + reach, count - 1); ++k) {
            if (!raw.sound[k]) continue;
            sum += kernel[k - i + reach] * raw.values[k];
            weight += kernel[k - i + reach];
        }
        result.sound[i] = raw.sound[i] && weight >= leastWeight * whole;
        result.values[i] = weight > 0.0 ? sum / weight : 0.0;
    }
    return result;
}

struct Loss {
    double meanSquare = std::numeric_limits<double>::infinity();
    std::size_t seconds = 0;
};

/// The two smoothed traces and what they differ by under a correction.
class Comparison {
public:
    Comparison(Smooth reference, Smooth test) : reference_(std::move(reference)), test_(std::move(test)) {
        for (double second = 0; second <= end(); ++second)
            referenceSeconds_.push_back(reference_.at(second));
    }

    [[nodiscard]] double end() const {
        return reference_.begin_s + static_cast<double>(reference_.values.size()) * step_s;
    }

    /// Middle of the session seconds that both have, give or take a minute.
    [[nodiscard]] double middle(double offset_s) const {
        const double testEnd_s = test_.begin_s + static_cast<double>(test_.values.size()) * step_s;
        return (std::max(0.0, test_.begin_s + offset_s) + std::min(end(), testEnd_s + offset_s)) / 2;
    }

    /// Mean square about the mean difference, over whole seconds of session time. `stride`: every so many
    /// seconds.
    [[nodiscard]] Loss at(double offset_s, double drift_ppm, std::size_t stride = 1) const {
        double sum = 0.0, squares = 0.0;
        std::size_t count = 0;
        for (std::size_t second = 0; second < referenceSeconds_.size(); second += stride) {
            const double reference = referenceSeconds_[second];
            if (std::isnan(reference)) continue;
            const double test = test_.at(static_cast<double>(second) / (1.0 + drift_ppm * 1e-6) - offset_s);
            if (std::isnan(test)) continue;
            const double error = test - reference;
            sum += error;
            squares += error * error;
            ++count;
        }
        if (count * stride < leastSeconds) return {};
        const auto n = static_cast<double>(count);
        return {squares / n - (sum / n) * (sum / n), count};
    }

private:
    Smooth reference_, test_;
    std::vector<double> referenceSeconds_;
};

/// Vertex of the parabola through three equally spaced values, as a part of the spacing from the middle.
double vertex(double before, double middle, double after) {
    const double bend = before - 2 * middle + after;
    return bend > 0.0 ? std::clamp(0.5 * (before - after) / bend, -1.0, 1.0) : 0.0;
}

/// Every `step` from the centre, over `reach` to either side.
struct Scan {
    double centre, reach, step;
};

struct Least {
    double at = 0.0;
    bool atEdge = true;
};

template <class Function>
Least leastOf(const Scan& scan, Function&& loss) {
    const int half = std::max(static_cast<int>(std::lround(scan.reach / scan.step)), 1);
    std::vector<double> values;
    for (int i = -half; i <= half; ++i)
        values.push_back(loss(scan.centre + i * scan.step));
    const auto best = std::ranges::min_element(values) - values.begin();
    const bool edge = best == 0 || best == 2 * half;
    const double part = edge ? 0.0 : vertex(values[best - 1], values[best], values[best + 1]);
    return {scan.centre + (static_cast<double>(best - half) + part) * scan.step, edge};
}

/// The least mean square of each drift over all offsets. The offset is held in the middle of the session
/// while the drift turns, since there the drift moves it least.
class DriftProfile {
public:
    DriftProfile(const Comparison& compare, double middle_s, std::size_t stride)
        : compare_(&compare), middle_s_(middle_s), stride_(stride) {}

    [[nodiscard]] double offsetAt(double mid_s, double ppm) const { return mid_s - ppm * 1e-6 * middle_s_; }
    [[nodiscard]] Least bestOffset(const Scan& mids, double ppm) const {
        return leastOf(mids, [&](double mid) { return loss(mid, ppm); });
    }
    [[nodiscard]] Least bestDrift(const Scan& mids, const Scan& drifts) const {
        return leastOf(drifts, [&](double ppm) { return loss(bestOffset(mids, ppm).at, ppm); });
    }

private:
    [[nodiscard]] double loss(double mid_s, double ppm) const {
        return compare_->at(offsetAt(mid_s, ppm), ppm, stride_).meanSquare;
    }

    const Comparison* compare_;
    double middle_s_;
    std::size_t stride_;
};

Estimand withDrift(const Comparison& compare, const EstimandSearch& search, const Least& start) {
    const double middle_s = compare.middle(start.at);
    const std::size_t stride =
        compare.end() > 20000 ? 5 : 1;  // the coarse pass need not see every second of a day
    const DriftProfile coarse{compare, middle_s, stride}, fine{compare, middle_s, 1};
    const double startMid = start.at + search.centreDrift_ppm * 1e-6 * middle_s;
    const auto near =
        coarse.bestDrift({startMid, 4.0, 0.5}, {search.centreDrift_ppm, search.driftReach_ppm, 4.0});
    const auto nearMid = coarse.bestOffset({startMid, 4.0, 0.25}, near.at);
    const auto drift = fine.bestDrift({nearMid.at, 0.6, 0.2}, {near.at, 8.0, 1.0});
    const auto mid = fine.bestOffset({nearMid.at, 0.5, 0.05}, drift.at);
    const double offset_s = fine.offsetAt(mid.at, drift.at);
    const auto loss = compare.at(offset_s, drift.at);
    return {offset_s, drift.at, std::sqrt(loss.meanSquare), loss.seconds,
            start.atEdge || near.atEdge || nearMid.atEdge};
}

struct FaultySides {
    std::vector<FaultySpan> reference, test;
};

FaultySides faultySides(const Truth& truth) {
    FaultySides sides;
    for (const auto& fault : truth.faults) {
        auto& side = fault.plan.on == FaultOn::Reference ? sides.reference : sides.test;
        side.push_back({fault.plan.start_s, fault.plan.end_s});
    }
    return sides;
}

std::vector<FaultySpan> onTestClock(std::span<const FaultySpan> spans, const EstimandSearch& search) {
    std::vector<FaultySpan> moved;
    const double pace = 1.0 + search.centreDrift_ppm * 1e-6;
    for (const auto& span : spans)
        moved.push_back({span.start_s / pace - search.centre_s, span.end_s / pace - search.centre_s});
    return moved;
}

std::optional<Comparison> comparison(const recording::Recording& reference, const recording::Recording& test,
                                     std::span<const FaultySpan> faultyReference,
                                     std::span<const FaultySpan> faultyTest, const EstimandSearch& search) {
    const auto* rates = reference.channel(recording::ChannelKind::HeartRate);
    if (!rates) return std::nullopt;
    const auto t0_us = rates->times.front().time_since_epoch().count();
    const auto referencePoints = pointsOf(reference, t0_us), testPoints = pointsOf(test, t0_us);
    if (testPoints.times.empty()) return std::nullopt;
    return Comparison{smoothed(unsmoothed(referencePoints, faultyReference)),
                      smoothed(unsmoothed(testPoints, onTestClock(faultyTest, search)))};
}

}  // namespace

std::optional<Estimand> leastSquaresAlignment(const recording::Recording& reference,
                                              const recording::Recording& test,
                                              std::span<const FaultySpan> faultyReference,
                                              std::span<const FaultySpan> faultyTest,
                                              const EstimandSearch& search) {
    const auto compare = comparison(reference, test, faultyReference, faultyTest, search);
    if (!compare) return std::nullopt;
    const auto loss = [&](double offset_s) { return compare->at(offset_s, search.centreDrift_ppm); };
    const auto coarse = leastOf({search.centre_s, search.reach_s, 0.25},
                                [&](double offset_s) { return loss(offset_s).meanSquare; });
    auto fine = leastOf({coarse.at, 0.5, 0.05}, [&](double offset_s) { return loss(offset_s).meanSquare; });
    const auto at = loss(fine.at);
    if (at.seconds == 0) return std::nullopt;
    fine.atEdge = fine.atEdge || coarse.atEdge;
    if (search.driftReach_ppm > 0.0) return withDrift(*compare, search, fine);
    return Estimand{fine.at, search.centreDrift_ppm, std::sqrt(at.meanSquare), at.seconds, fine.atEdge};
}

std::optional<Estimand> estimandOf(const GeneratedPair& pair) {
    const auto& truth = pair.truth;
    const auto faulty = faultySides(truth);
    const bool drifts = truth.clockDrift_ppm != 0.0 && static_cast<double>(truth.rate_bpm.size()) > 7200.0;
    return leastSquaresAlignment(pair.reference, pair.test, faulty.reference, faulty.test,
                                 {.centre_s = truth.nominalOffset_s,
                                  .centreDrift_ppm = truth.clockDrift_ppm,
                                  .driftReach_ppm = drifts ? 160.0 : 0.0});
}

namespace {

/// Seconds of the reference in which the test ran, by the truth.
struct Common {
    double begin_s = 0.0, end_s = 0.0;
};

Common commonSeconds(const GeneratedPair& pair) {
    const auto* reference = pair.reference.channel(recording::ChannelKind::HeartRate);
    const auto* test = pair.test.channel(recording::ChannelKind::HeartRate);
    if (!reference || !test) return {};
    const auto t0_us = reference->times.front().time_since_epoch().count();
    const auto onSession = [&](RecordingTime time) {
        return static_cast<double>(time.time_since_epoch().count() - t0_us) * 1e-6 +
               pair.truth.nominalOffset_s;
    };
    return {std::max(0.0, onSession(test->times.front())),
            std::min(static_cast<double>(pair.truth.rate_bpm.size()) - 1, onSession(test->times.back()))};
}

/// The heart's rate in common seconds that no fault touches.
std::vector<double> soundRates(const GeneratedPair& pair, const Common& common) {
    std::vector<double> rates;
    for (double second = std::ceil(common.begin_s); second <= common.end_s; ++second) {
        const bool faulty = std::ranges::any_of(pair.truth.faults, [&](const TrueFault& fault) {
            return second >= fault.plan.start_s && second <= fault.plan.end_s;
        });
        if (!faulty) rates.push_back(pair.truth.rate_bpm[static_cast<std::size_t>(second)]);
    }
    return rates;
}

/// Changes of at least 15 bpm: turns of direction, or apart from each other by 90 s of something slower.
int separateChanges(std::span<const double> rates) {
    constexpr double change_bpm = 15.0;
    int turns = 0, steps = 0, direction = 0;
    double low = rates.front(), high = rates.front();
    for (std::size_t i = 0; i < rates.size(); ++i) {
        low = std::min(low, rates[i]);
        high = std::max(high, rates[i]);
        const int now = rates[i] >= low + change_bpm ? 1 : rates[i] <= high - change_bpm ? -1 : 0;
        if (now != 0 && now != direction) {
            ++turns;
            direction = now;
        }
        if (now == 1) low = high = rates[i];
        if (now == -1) low = high = rates[i];
    }
    for (std::size_t i = 90; i < rates.size(); ++i) {
        if (std::abs(rates[i] - rates[i - 90]) < change_bpm) continue;
        ++steps;
        i += 180;
    }
    return std::max(turns, steps);
}

double percentile(std::vector<double> values, double share) {
    std::ranges::sort(values);
    return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
}

bool hasRival(const GeneratedPair& pair) {
    const auto faulty = faultySides(pair.truth);
    const EstimandSearch search{.centre_s = pair.truth.nominalOffset_s,
                                .centreDrift_ppm = pair.truth.clockDrift_ppm};
    const auto compare = comparison(pair.reference, pair.test, faulty.reference, faulty.test, search);
    const std::size_t stride = pair.truth.rate_bpm.size() > 20000 ? 10 : 1;
    const double least = compare->at(search.centre_s, search.centreDrift_ppm, stride).meanSquare;
    for (double away_s = 10.0; away_s <= 300.0; away_s += 0.5)
        for (const double side : {-1.0, 1.0}) {
            const double offset_s = search.centre_s + side * away_s;
            if (compare->at(offset_s, search.centreDrift_ppm, stride).meanSquare <= 1.05 * least) return true;
        }
    return false;
}

}  // namespace

std::string whyNotIdentifiable(const GeneratedPair& pair) {
    if (!pair.truth.related) return "the two recordings are of different people";
    const auto common = commonSeconds(pair);
    if (common.end_s - common.begin_s < 300.0) return "less than 5 min in common";
    const auto rates = soundRates(pair, common);
    if (rates.size() < 120) return "less than 2 min in common without faults";
    if (percentile(rates, 0.95) - percentile(rates, 0.05) < 15.0) return "the heart rate hardly changes";
    if (separateChanges(rates) < 2) return "fewer than two changes of 15 bpm";
    if (hasRival(pair)) return "another offset fits as well";
    return {};
}

}  // namespace beatwitness::tests
