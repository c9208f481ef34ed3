#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace beatwitness::agreement {

/// A closed interval of one figure.
struct Interval {
    double lower = 0.0;
    double upper = 0.0;
};

struct BootstrapSettings {
    std::size_t replicates = 10000;
    std::uint64_t seed = 1;
};

/// Fewer units than this get no bootstrap; up to `exactUpTo` every resample is enumerated. Source: field
/// guide 2.4.
inline constexpr std::size_t bootstrapFrom = 6, bootstrapExactUpTo = 8;
/// Fewer units than this make a bootstrap interval "approximate".
inline constexpr std::size_t bootstrapGoodFrom = 20;

/// What is summed over sessions: one row a session (or wearer), `columns` numbers each.
struct SummableRows {
    std::size_t columns = 0;
    std::vector<double> values;  ///< row by row

    [[nodiscard]] std::size_t rows() const { return columns == 0 ? 0 : values.size() / columns; }
    void add(std::span<const double> row) { values.insert(values.end(), row.begin(), row.end()); }
};

/// Column sums of resampled rows. `weights` add up to 1.
struct Resamples {
    std::size_t columns = 0;
    std::vector<double> totals;  ///< row by row
    std::vector<double> weights;
    bool exact = false;  ///< every resample, with its probability

    [[nodiscard]] std::size_t size() const { return weights.size(); }
    [[nodiscard]] std::span<const double> total(std::size_t i) const {
        return std::span{totals}.subspan(i * columns, columns);
    }
};

/// Whole rows drawn with replacement. Rows are put into an order of their own first, so that the order in
/// which sessions are given changes nothing; each replicate has a stream of its own, made of the seed and its
/// number. Up to 8 rows: all multisets with multinomial weights. Requires rows.rows() >= 1.
[[nodiscard]] Resamples resampled(const SummableRows& rows, const BootstrapSettings& settings = {});

/// Values of a statistic over resamples.
///
/// A resample in which the statistic cannot be had is left out; `undefined` is its share.
class BootstrapDistribution {
public:
    using Statistic = std::function<std::optional<double>(std::span<const double> totals)>;

    BootstrapDistribution(const Resamples& resamples, const Statistic& statistic);

    [[nodiscard]] bool empty() const { return values_.empty(); }
    [[nodiscard]] double undefined() const { return undefined_; }
    /// Smallest value whose cumulative probability reaches `probability`. Requires !empty().
    [[nodiscard]] double quantile(double probability) const;
    [[nodiscard]] double mean() const;
    [[nodiscard]] double sd() const;
    /// Share below `value` and share at it (within rounding).
    [[nodiscard]] double below(double value) const;
    [[nodiscard]] double at(double value) const;

private:
    std::vector<double> values_;      ///< ascending
    std::vector<double> cumulative_;  ///< ends at 1
    double undefined_ = 0.0;
};

/// Lower of the two levels of the expanded percentile interval for `units` >= 2 resampled units.
/// Source: Hesterberg, Am Stat 2015;69:371-386.
[[nodiscard]] double expandedLevel(std::size_t units);
[[nodiscard]] Interval percentileInterval(const BootstrapDistribution& values, double lowerLevel = 0.025);

/// Levels and interval by bias correction and acceleration, from leaving out one row at a time.
/// Source: Efron, J Am Stat Assoc 1987;82:171-185.
struct AcceleratedInterval {
    double bias = 0.0;          ///< z0, from the midrank share below the estimate
    double acceleration = 0.0;  ///< by the jackknife
    double lowerLevel = 0.0, upperLevel = 0.0;
    Interval interval;
};
[[nodiscard]] AcceleratedInterval acceleratedInterval(const SummableRows& rows,
                                                      const BootstrapDistribution& values,
                                                      const BootstrapDistribution::Statistic& statistic);

}  // namespace beatwitness::agreement
