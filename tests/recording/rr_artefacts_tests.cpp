#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "core/recording/beats_artefacts.h"

namespace beatwitness::recording {
namespace {

/// 100 intervals that swing gently about 800 ms.
std::vector<double> calm() {
    std::vector<double> intervals;
    for (int i = 0; i < 100; ++i)
        intervals.push_back(800.0 + 20.0 * std::sin(0.9 * i) + 7.0 * std::sin(2.3 * i));
    return intervals;
}

std::vector<std::size_t> judged(const std::vector<double>& intervals) {
    const auto flags = artefactsAmong(intervals);
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < flags.size(); ++i)
        if (flags[i]) found.push_back(i);
    return found;
}

using Places = std::vector<std::size_t>;

TEST(BeatArtefacts, LeavesACalmSeriesAlone) {
    EXPECT_EQ(judged(calm()), Places{});
}

TEST(BeatArtefacts, JudgesTheLongIntervalOfAMissedBeat) {
    auto intervals = calm();
    intervals[50] += intervals[51];
    intervals.erase(intervals.begin() + 51);

    EXPECT_EQ(judged(intervals), Places{50});
}

TEST(BeatArtefacts, JudgesBothPartsOfAnIntervalThatAnExtraBeatCut) {
    auto intervals = calm();
    intervals.insert(intervals.begin() + 50, 300.0);
    intervals[51] -= 300.0;

    EXPECT_EQ(judged(intervals), (Places{50, 51}));
}

TEST(BeatArtefacts, JudgesBothIntervalsAroundAnEctopicBeat) {
    auto intervals = calm();
    intervals[50] -= 250.0;
    intervals[51] += 250.0;

    EXPECT_EQ(judged(intervals), (Places{50, 51}));
}

TEST(BeatArtefacts, LeavesARiseOfEffortAlone) {
    std::vector<double> intervals;
    for (int i = 0; i < 200; ++i)
        intervals.push_back(450.0 + 450.0 / (1.0 + std::exp((i - 100) / 15.0)) + 6.0 * std::sin(1.7 * i));

    EXPECT_EQ(judged(intervals), Places{});
}

TEST(BeatArtefacts, JudgesWhatNoHeartDoesEvenInAStub) {
    EXPECT_EQ(judged({100.0}), Places{0});
    EXPECT_EQ(judged({2500.0}), Places{0});
    EXPECT_EQ(judged({800.0}), Places{});
    EXPECT_EQ(judged({}), Places{});
}

TEST(BeatArtefacts, TakesNoDifferenceOverAHole) {
    std::vector<double> intervals(60, 900.0);
    std::fill(intervals.begin() + 30, intervals.end(), 700.0);
    for (std::size_t i = 0; i < intervals.size(); ++i)
        intervals[i] += 9.0 * std::sin(1.1 * static_cast<double>(i));
    std::vector<bool> begins(60, false);
    begins[30] = true;

    const auto flags = artefactsAmong(intervals, begins);

    EXPECT_EQ(std::ranges::count(flags, true), 0);
}

/// The rules once more, from the paper's equations: every window sorted afresh.
class PlainRules {
public:
    explicit PlainRules(std::vector<double> intervals) : rr_(std::move(intervals)) {}

    std::vector<bool> judged() const {
        const std::size_t n = rr_.size();
        std::vector<double> dev(n), step(n);
        std::vector<bool> flags(n);
        for (std::size_t i = 0; i < n; ++i) {
            dev[i] = rr_[i] - median(i);
            if (dev[i] < 0) dev[i] *= 2;
        }
        for (std::size_t i = 0; i < n; ++i) {
            const double th2 = std::max(5.2 * deviation(dev, i, 0), 0.05 * median(i));
            flags[i] = rr_[i] < 240 || rr_[i] > 2400 || std::abs(dev[i]) > 3 * th2;
        }
        std::vector<double> d(n, 0.0);
        for (std::size_t i = 1; i < n; ++i)
            d[i] = rr_[i] - rr_[i - 1];
        for (std::size_t i = 1; i < n; ++i)
            step[i] = d[i] / std::max(5.2 * deviation(d, i, 1), 0.05 * median(i));
        const auto s = [&step, n](std::size_t i) { return i < n ? step[i] : 0.0; };
        for (std::size_t i = 1; i < n; ++i) {
            const double s11 = s(i);
            const bool up = s11 > 1, down = s11 < -1;
            const double s12 = up ? std::max(s(i - 1), s(i + 1)) : std::min(s(i - 1), s(i + 1));
            const double s22 = up ? std::min(s(i + 1), s(i + 2)) : std::max(s(i + 1), s(i + 2));
            if ((up && s12 < -0.13 * s11 - 0.17) || (down && s12 > -0.13 * s11 + 0.17)) {
                flags[i - 1] = flags[i] = true;
            } else if ((up && s22 < -1) || (down && s22 > 1)) {
                flags[i] = true;
                const bool returnsAtOnce = up ? s(i + 1) < -1 : s(i + 1) > 1;
                if (!returnsAtOnce) flags[i + 1] = true;
            }
        }
        return flags;
    }

private:
    static double quantile(std::vector<double> values, double share) {
        std::ranges::sort(values);
        const double at = share * static_cast<double>(values.size() - 1);
        const auto low = static_cast<std::size_t>(std::floor(at));
        const auto high = std::min(values.size() - 1, low + 1);
        return values[low] * (1 - (at - static_cast<double>(low))) +
               values[high] * (at - static_cast<double>(low));
    }
    static std::vector<double> around(const std::vector<double>& all, std::size_t i, std::size_t half,
                                      std::size_t first) {
        const std::size_t begin = std::max(first, i > half ? i - half : 0);
        const std::size_t end = std::min(all.size(), i + half + 1);
        return {all.begin() + static_cast<std::ptrdiff_t>(begin),
                all.begin() + static_cast<std::ptrdiff_t>(end)};
    }
    double median(std::size_t i) const { return quantile(around(rr_, i, 5, 0), 0.5); }
    static double deviation(const std::vector<double>& all, std::size_t i, std::size_t first) {
        const auto window = around(all, i, 45, first);
        return window.empty() ? 0.0 : (quantile(window, 0.75) - quantile(window, 0.25)) / 2;
    }

    std::vector<double> rr_;
};

TEST(BeatArtefacts, JudgesAsThePlainRulesDoOnRandomSeriesWithArtefacts) {
    std::mt19937 random{7};
    for (int series = 0; series < 40; ++series) {
        std::vector<double> intervals;
        std::normal_distribution<double> noise{0.0, 5.0 + series};
        double level = 500.0 + 10.0 * series;
        for (int i = 0; i < 300; ++i) {
            level += noise(random) * 0.3;
            intervals.push_back(std::max(200.0, level + noise(random)));
            if (random() % 25 == 0) intervals.back() *= random() % 2 == 0 ? 1.9 : 0.55;
        }

        EXPECT_EQ(artefactsAmong(intervals), PlainRules{intervals}.judged()) << "series " << series;
    }
}

// A quadratic method would take hours here.
TEST(BeatArtefacts, TakesTimeInProportionToTheBeats) {
    std::mt19937 random{11};
    std::vector<double> intervals(1'000'000);
    for (double& interval : intervals)
        interval = 700.0 + static_cast<double>(random() % 100);

    EXPECT_LT(std::ranges::count(artefactsAmong(intervals), true), 50'000);
}

}  // namespace
}  // namespace beatwitness::recording
