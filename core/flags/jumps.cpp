#include "core/flags/jumps.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace beatwitness::flags {
namespace {

constexpr std::size_t levelReach_s = 20;
/// Share of a jump's size beyond which a second belongs to it.
constexpr double edgeShare = 0.4;

/// Median over the paired seconds within reach, by `value(i)`; nothing where fewer than half are.
template <class Value>
std::optional<double> localMedian(const SecondTable& table, std::size_t i, Value value) {
    std::vector<double> values;
    const std::size_t first = i - std::min(i, levelReach_s),
                      last = std::min(i + levelReach_s, table.size() - 1);
    for (std::size_t k = first; k <= last; ++k)
        if (table.paired[k]) values.push_back(value(k));
    if (values.size() < levelReach_s) return std::nullopt;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// Longest distance between two neighbouring samples that touch the seconds [first, last] (session time).
double interval(const trace::SessionTrace& trace, double first_s, double last_s) {
    auto i =
        static_cast<std::size_t>(std::ranges::lower_bound(trace.seconds, first_s) - trace.seconds.begin());
    double longest_s = 1.0;
    for (i = std::max<std::size_t>(i, 1); i < trace.seconds.size(); ++i) {
        if (trace.seconds[i - 1] > last_s) break;
        if (trace.joined[i]) longest_s = std::max(longest_s, trace.seconds[i] - trace.seconds[i - 1]);
    }
    return longest_s;
}

class JumpFinder {
public:
    JumpFinder(const SecondTable& table, const trace::SessionTrace& test, const Settings& settings)
        : table_(table), test_(test), settings_(settings.spike), rate_(settings.rate) {}

    [[nodiscard]] std::vector<Jump> find() const {
        std::vector<Jump> jumps;
        for (std::size_t i = 0; i < table_.size(); ++i) {
            if (!table_.paired[i] || std::abs(table_.error(i)) < edgeShare * settings_.leastJump_bpm)
                continue;
            const auto jump = at(i);
            if (!jump) continue;
            jumps.push_back(*jump);
            i = jump->seconds.last;
        }
        return jumps;
    }

private:
    /// The jump that begins at second i, if one does.
    [[nodiscard]] std::optional<Jump> at(std::size_t i) const {
        if (i == 0 || !table_.paired[i - 1] || std::abs(table_.error(i) - table_.error(i - 1)) < 3.0)
            return std::nullopt;
        const auto level = localMedian(table_, i, [&](std::size_t k) { return table_.error(k); });
        if (!level) return std::nullopt;
        const double sign = table_.error(i) > *level ? 1.0 : -1.0;
        const auto away = [&](std::size_t k) { return sign * (table_.error(k) - *level); };
        if (away(i) < edgeShare * settings_.leastJump_bpm) return std::nullopt;
        const double interval_s = interval(test_, second(i) - 2, second(std::min(i + 10, table_.size() - 1)));
        const auto most =
            static_cast<std::size_t>(settings_.back_s + 2 * (interval_s > 1.5 ? interval_s : 0.0));
        std::size_t peak = i, last = i;
        for (std::size_t k = i; k < table_.size() && table_.paired[k]; ++k) {
            if (away(k) > away(peak)) peak = k;
            if (away(k) < std::max(edgeShare * away(peak), 4.0)) break;
            last = k;
            if (k - i > most) return std::nullopt;
        }
        if (last + 1 >= table_.size() || !table_.paired[last + 1] || keepsRatio(i, last)) return std::nullopt;
        const double least =
            std::max(settings_.leastJump_bpm,
                     interval_s > settings_.within_s ? settings_.fastest_bpm_per_s * interval_s : 0.0);
        if (away(peak) < least || !sharp(i, last, sign, least, interval_s)) return std::nullopt;
        std::size_t first = i;
        while (first > 0 && table_.paired[first - 1] && away(first - 1) >= 4.0 && i - first < 3)
            --first;
        while (last + 1 < table_.size() && table_.paired[last + 1] && away(last + 1) >= 4.0 &&
               last - i < most)
            ++last;
        return Jump{{first, last}, sign * away(peak)};
    }

    /// Half or twice the reference for about as long as those kinds last: theirs, not a jump.
    [[nodiscard]] bool keepsRatio(std::size_t first, std::size_t last) const {
        int half = 0, twice = 0;
        for (std::size_t k = first; k <= last; ++k) {
            const double ratio = table_.test.values[k] / table_.reference.values[k];
            half += ratio >= rate_.halfLowest && ratio <= rate_.halfHighest;
            twice += ratio >= rate_.doubleLowest && ratio <= rate_.doubleHighest;
        }
        return std::max(half, twice) >= rate_.least_s - 2.0;
    }

    /// Both flanks are steep, in the error and in the test itself.
    [[nodiscard]] bool sharp(std::size_t first, std::size_t last, double sign, double least,
                             double interval_s) const {
        const auto reach = static_cast<std::size_t>(std::max(settings_.within_s, std::ceil(interval_s)));
        double up = 0.0, down = 0.0, own = 0.0;
        const std::size_t from = first - std::min(first, reach);
        for (std::size_t k = from; k + reach < table_.size() && k <= last; ++k) {
            if (!table_.paired[k] || !table_.paired[k + reach]) continue;
            const double step = sign * (table_.error(k + reach) - table_.error(k));
            up = std::max(up, step);
            down = std::max(down, -step);
            own = std::max(own, std::abs(table_.test.values[k + reach] - table_.test.values[k]));
        }
        const double steep = 0.8 * least;
        return up >= steep && down >= 0.8 * steep && own >= 0.8 * steep;
    }

    [[nodiscard]] double second(std::size_t i) const {
        return static_cast<double>(table_.first + static_cast<std::int64_t>(i));
    }

    const SecondTable& table_;
    const trace::SessionTrace& test_;
    const SpikeSettings& settings_;
    const RateSettings& rate_;
};

}  // namespace

std::vector<Jump> jumpsOfTest(const SecondTable& table, const trace::SessionTrace& test,
                              const Settings& settings) {
    return JumpFinder{table, test, settings}.find();
}

std::vector<Jump> trainsOf(const std::vector<Jump>& jumps, double train_s) {
    std::vector<Jump> trains;
    for (const auto& jump : jumps) {
        if (!trains.empty() &&
            static_cast<double>(jump.seconds.first) - static_cast<double>(trains.back().seconds.last) <
                train_s) {
            trains.back().seconds.last = jump.seconds.last;
            if (std::abs(jump.size_bpm) > std::abs(trains.back().size_bpm))
                trains.back().size_bpm = jump.size_bpm;
        } else {
            trains.push_back(jump);
        }
    }
    return trains;
}

}  // namespace beatwitness::flags
