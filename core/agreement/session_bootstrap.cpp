#include "core/agreement/session_bootstrap.h"

#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "core/agreement/quantiles.h"

namespace beatwitness::agreement {
namespace {

using RowMatrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// Replicates whose draws are counted before they are summed; their counts stay in the cache.
constexpr std::size_t replicatesPerBlock = 64;

/// Stirred counter; one stream a replicate. Source: Steele, Lea & Flood, OOPSLA 2014 (SplitMix64).
class Stream {
public:
    Stream(std::uint64_t seed, std::uint64_t replicate) : state_{stirred(seed) ^ stirred(~replicate)} {}
    std::uint64_t next() { return stirred(state_ += 0x9E3779B97F4A7C15U); }

private:
    static std::uint64_t stirred(std::uint64_t x) {
        x = (x ^ (x >> 30U)) * 0xBF58476D1CE4E5B9U;
        x = (x ^ (x >> 27U)) * 0x94D049BB133111EBU;
        return x ^ (x >> 31U);
    }
    std::uint64_t state_;
};

RowMatrix inTheirOwnOrder(const SummableRows& rows) {
    std::vector<std::span<const double>> order;
    for (std::size_t i = 0; i < rows.rows(); ++i)
        order.push_back(std::span{rows.values}.subspan(i * rows.columns, rows.columns));
    std::ranges::sort(order, [](auto a, auto b) { return std::ranges::lexicographical_compare(a, b); });
    RowMatrix matrix(static_cast<Eigen::Index>(order.size()), static_cast<Eigen::Index>(rows.columns));
    for (std::size_t i = 0; i < order.size(); ++i)
        std::ranges::copy(order[i], matrix.row(static_cast<Eigen::Index>(i)).data());
    return matrix;
}

/// Two draws of 32 bits from each 64: a row number is the high half of bits times rows.
void drawCounts(Stream stream, std::size_t rows, double* counts) {
    const std::uint64_t k = rows;
    for (std::size_t drawn = 0; drawn < rows; drawn += 2) {
        const std::uint64_t bits = stream.next();
        counts[((bits >> 32U) * k) >> 32U] += 1;
        if (drawn + 1 < rows) counts[((bits & 0xFFFFFFFFU) * k) >> 32U] += 1;
    }
}

Resamples drawn(const RowMatrix& rows, const BootstrapSettings& settings) {
    const auto k = static_cast<std::size_t>(rows.rows());
    Resamples result{static_cast<std::size_t>(rows.cols()), {}, {}, false};
    result.totals.resize(settings.replicates * result.columns);
    result.weights.assign(settings.replicates, 1.0 / static_cast<double>(settings.replicates));
    Eigen::Map<RowMatrix> totals(result.totals.data(), static_cast<Eigen::Index>(settings.replicates),
                                 rows.cols());
    RowMatrix counts(static_cast<Eigen::Index>(replicatesPerBlock), rows.rows());
    for (std::size_t first = 0; first < settings.replicates; first += replicatesPerBlock) {
        const std::size_t many = std::min(replicatesPerBlock, settings.replicates - first);
        counts.setZero();
        for (std::size_t i = 0; i < many; ++i)
            drawCounts(Stream{settings.seed, first + i}, k, counts.row(static_cast<Eigen::Index>(i)).data());
        const auto size = static_cast<Eigen::Index>(many);
        totals.middleRows(static_cast<Eigen::Index>(first), size).noalias() = counts.topRows(size) * rows;
    }
    return result;
}

/// Every way to draw `left` more rows from row `row` on, with its share of the k^k equally likely draws.
void enumerate(const RowMatrix& rows, Eigen::Index row, std::size_t left, double weight,
               Eigen::RowVectorXd& total, Resamples& result) {
    if (row + 1 == rows.rows()) {
        const Eigen::RowVectorXd full = total + static_cast<double>(left) * rows.row(row);
        result.totals.insert(result.totals.end(), full.data(), full.data() + full.size());
        result.weights.push_back(weight / std::tgamma(static_cast<double>(left) + 1));
        return;
    }
    for (std::size_t count = 0; count <= left; ++count) {
        const auto times = static_cast<double>(count);
        Eigen::RowVectorXd next = total + times * rows.row(row);
        enumerate(rows, row + 1, left - count, weight / std::tgamma(times + 1), next, result);
    }
}

Resamples enumerated(const RowMatrix& rows) {
    Resamples result{static_cast<std::size_t>(rows.cols()), {}, {}, true};
    const auto k = static_cast<double>(rows.rows());
    Eigen::RowVectorXd none = Eigen::RowVectorXd::Zero(rows.cols());
    enumerate(rows, 0, static_cast<std::size_t>(rows.rows()), std::tgamma(k + 1) / std::pow(k, k), none,
              result);
    return result;
}

bool alike(double a, double b) {
    return std::abs(a - b) <= 1e-12 * std::max({1.0, std::abs(a), std::abs(b)});
}

}  // namespace

Resamples resampled(const SummableRows& rows, const BootstrapSettings& settings) {
    const auto ordered = inTheirOwnOrder(rows);
    return rows.rows() <= bootstrapExactUpTo ? enumerated(ordered) : drawn(ordered, settings);
}

BootstrapDistribution::BootstrapDistribution(const Resamples& resamples, const Statistic& statistic) {
    std::vector<std::pair<double, double>> found;
    found.reserve(resamples.size());
    double defined = 0.0;
    for (std::size_t i = 0; i < resamples.size(); ++i)
        if (const auto value = statistic(resamples.total(i)); value && std::isfinite(*value)) {
            found.emplace_back(*value, resamples.weights[i]);
            defined += resamples.weights[i];
        }
    undefined_ = std::max(0.0, 1.0 - defined);
    std::ranges::sort(found);
    double sum = 0.0;
    for (const auto& [value, weight] : found) {
        values_.push_back(value);
        cumulative_.push_back((sum += weight) / defined);
    }
}

double BootstrapDistribution::quantile(double probability) const {
    // The slack is for the rounding of the running sum, far below any probability of a resample that counts.
    const auto found = std::ranges::lower_bound(cumulative_, probability - 1e-12);
    const auto i = std::min(static_cast<std::size_t>(found - cumulative_.begin()), values_.size() - 1);
    return values_[i];
}

double BootstrapDistribution::mean() const {
    double sum = 0.0, last = 0.0;
    for (std::size_t i = 0; i < values_.size(); ++i) {
        sum += values_[i] * (cumulative_[i] - last);
        last = cumulative_[i];
    }
    return sum;
}

double BootstrapDistribution::sd() const {
    const double centre = mean();
    double sum = 0.0, last = 0.0;
    for (std::size_t i = 0; i < values_.size(); ++i) {
        sum += (values_[i] - centre) * (values_[i] - centre) * (cumulative_[i] - last);
        last = cumulative_[i];
    }
    return std::sqrt(sum);
}

double BootstrapDistribution::below(double value) const {
    double share = 0.0;
    for (std::size_t i = 0; i < values_.size() && values_[i] < value && !alike(values_[i], value); ++i)
        share = cumulative_[i];
    return share;
}

double BootstrapDistribution::at(double value) const {
    double share = below(value);
    const double before = share;
    for (std::size_t i = 0; i < values_.size(); ++i)
        if (alike(values_[i], value)) share = cumulative_[i];
    return share - before;
}

double expandedLevel(std::size_t units) {
    const auto k = static_cast<double>(units);
    return normalBelow(-std::sqrt(k / (k - 1)) * tQuantile(0.975, k - 1));
}

Interval percentileInterval(const BootstrapDistribution& values, double lowerLevel) {
    return {values.quantile(lowerLevel), values.quantile(1 - lowerLevel)};
}

AcceleratedInterval acceleratedInterval(const SummableRows& rows, const BootstrapDistribution& values,
                                        const BootstrapDistribution::Statistic& statistic) {
    const std::size_t k = rows.rows(), c = rows.columns;
    std::vector<double> total(c, 0.0), without(c), left;
    for (std::size_t i = 0; i < rows.values.size(); ++i)
        total[i % c] += rows.values[i];
    for (std::size_t row = 0; row < k; ++row) {
        for (std::size_t j = 0; j < c; ++j)
            without[j] = total[j] - rows.values[row * c + j];
        if (const auto value = statistic(without)) left.push_back(*value);
    }
    const double mean = std::accumulate(left.begin(), left.end(), 0.0) / static_cast<double>(left.size());
    double squares = 0.0, cubes = 0.0;
    for (const double value : left) {
        squares += std::pow(mean - value, 2);
        cubes += std::pow(mean - value, 3);
    }
    AcceleratedInterval result;
    result.acceleration = squares > 0 ? cubes / (6 * std::pow(squares, 1.5)) : 0.0;
    const double estimate = statistic(total).value_or(mean);
    result.bias = normalQuantile(values.below(estimate) + values.at(estimate) / 2);
    const auto level = [&](double z) {
        return normalBelow(result.bias + (result.bias + z) / (1 - result.acceleration * (result.bias + z)));
    };
    result.lowerLevel = level(-normal975);
    result.upperLevel = level(normal975);
    result.interval = {values.quantile(result.lowerLevel), values.quantile(result.upperLevel)};
    return result;
}

}  // namespace beatwitness::agreement
