#include "core/agreement/comparison.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numeric>
#include <random>

#include "core/agreement/quantiles.h"

namespace beatwitness::agreement {
namespace {

constexpr std::size_t mostExactFlips = 24;

double meanOf(std::span<const double> values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

/// Sum of squares about the mean.
double squaresOf(std::span<const double> values) {
    const double mean = meanOf(values);
    double sum = 0;
    for (const double value : values)
        sum += (value - mean) * (value - mean);
    return sum;
}

double varianceOfMean(std::span<const double> values) {
    const auto n = static_cast<double>(values.size());
    return squaresOf(values) / (n - 1) / n;
}

/// Sums as large as the observed one within rounding count as as large.
bool reaches(double sum, double observed, double scale) {
    return std::abs(sum) >= std::abs(observed) - 1e-12 * scale;
}

double enumeratedFlips(std::span<const double> d, double observed, double scale) {
    // The first sign is held: the other half mirrors. In Gray order one sign changes a step.
    const std::size_t free = d.size() - 1;
    double sum = observed;
    std::vector<double> signs(d.size(), 1.0);
    std::uint64_t count = 0;
    const std::uint64_t many = std::uint64_t{1} << free;
    for (std::uint64_t step = 0;;) {
        count += reaches(sum, observed, scale);
        if (++step == many) break;
        const auto i = static_cast<std::size_t>(std::countr_zero(step)) + 1;
        signs[i] = -signs[i];
        sum += 2 * signs[i] * d[i];
    }
    return static_cast<double>(count) / static_cast<double>(many);
}

double drawnFlips(std::span<const double> d, double observed, double scale, std::uint64_t seed) {
    constexpr int draws = 1 << 20;
    std::mt19937_64 random{seed};
    int count = 1;  // the observed signs are one of them
    for (int draw = 1; draw < draws; ++draw) {
        double sum = 0;
        std::uint64_t bits = 0;
        for (std::size_t i = 0; i < d.size(); ++i, bits >>= 1U) {
            if (i % 64 == 0) bits = random();
            sum += (bits & 1U) != 0 ? d[i] : -d[i];
        }
        count += reaches(sum, observed, scale);
    }
    return count / static_cast<double>(draws);
}

}  // namespace

MeanOfSessions meanOfSessions(std::span<const double> values) {
    MeanOfSessions mean;
    mean.sessions = values.size();
    if (!values.empty()) mean.mean = meanOf(values);
    if (values.size() >= 2) mean.standardError = std::sqrt(varianceOfMean(values));
    return mean;
}

PairedDifference pairedDifference(std::span<const double> differences) {
    PairedDifference paired{meanOfSessions(differences), {}, {}, {}};
    if (!paired.mean.standardError) return paired;
    const double error = *paired.mean.standardError, df = paired.mean.df();
    const double reach = tQuantile(0.975, df) * error;
    paired.ci95 = Interval{paired.mean.mean - reach, paired.mean.mean + reach};
    if (!(error > 0)) return paired;
    paired.t = paired.mean.mean / error;
    paired.p = tTwoSided(*paired.t, df);
    return paired;
}

std::optional<SignFlip> signFlip(std::span<const double> differences, std::uint64_t seed) {
    if (differences.size() < 2) return std::nullopt;
    double observed = 0, scale = 0;
    for (const double d : differences) {
        observed += d;
        scale += std::abs(d);
    }
    SignFlip flip;
    flip.least = std::ldexp(1.0, 1 - static_cast<int>(std::min<std::size_t>(differences.size(), 60)));
    flip.exact = differences.size() <= mostExactFlips;
    flip.p = flip.exact ? enumeratedFlips(differences, observed, scale)
                        : drawnFlips(differences, observed, scale, seed);
    return flip;
}

std::optional<WelchDifference> stratifiedWelch(std::span<const Stratum> strata) {
    if (strata.empty()) return std::nullopt;
    WelchDifference result;
    const double weight = 1 / static_cast<double>(strata.size());
    double variance = 0, denominator = 0;
    for (const auto& [a, b] : strata) {
        if (a.size() < 2 || b.size() < 2) return std::nullopt;
        result.difference += weight * (meanOf(a) - meanOf(b));
        for (const auto* values : {&a, &b}) {
            const double part = weight * weight * varianceOfMean(*values);
            variance += part;
            denominator += part * part / static_cast<double>(values->size() - 1);
        }
    }
    if (!(variance > 0)) return std::nullopt;
    result.standardError = std::sqrt(variance);
    result.df = variance * variance / denominator;
    result.t = result.difference / result.standardError;
    result.p = tTwoSided(result.t, result.df);
    const double reach = tQuantile(0.975, result.df) * result.standardError;
    result.ci95 = {result.difference - reach, result.difference + reach};
    return result;
}

std::optional<WelchDifference> welch(std::span<const double> a, std::span<const double> b) {
    const Stratum all{{a.begin(), a.end()}, {b.begin(), b.end()}};
    return stratifiedWelch(std::span{&all, 1});
}

std::optional<Equivalence> equivalence(std::span<const double> values, double margin) {
    const auto mean = meanOfSessions(values);
    if (!mean.standardError || !(*mean.standardError > 0)) return std::nullopt;
    Equivalence result;
    result.margin = margin;
    result.mean = mean.mean;
    result.standardError = *mean.standardError;
    result.df = mean.df();
    result.tLower = (mean.mean + margin) / result.standardError;
    result.tUpper = (mean.mean - margin) / result.standardError;
    result.pLower = tBelow(-result.tLower, result.df);
    result.pUpper = tBelow(result.tUpper, result.df);
    const double reach = tQuantile(0.95, result.df) * result.standardError;
    result.ci90 = {mean.mean - reach, mean.mean + reach};
    result.equivalent = result.ci90.lower > -margin && result.ci90.upper < margin;
    return result;
}

std::optional<SpreadComparison> compareSpread(std::span<const double> a, std::span<const double> b) {
    const std::size_t n = std::min(a.size(), b.size());
    if (n < 3) return std::nullopt;
    std::vector<double> sums(n), differences(n);
    for (std::size_t i = 0; i < n; ++i) {
        sums[i] = a[i] + b[i];
        differences[i] = a[i] - b[i];
    }
    const double meanSum = meanOf(sums), meanDifference = meanOf(differences);
    double product = 0;
    for (std::size_t i = 0; i < n; ++i)
        product += (sums[i] - meanSum) * (differences[i] - meanDifference);
    const double spread = std::sqrt(squaresOf(sums) * squaresOf(differences)), ofB = squaresOf(b.first(n));
    if (!(spread > 0) || !(ofB > 0)) return std::nullopt;
    SpreadComparison result;
    result.varianceRatio = squaresOf(a.first(n)) / ofB;
    result.r = product / spread;
    result.df = static_cast<double>(n) - 2;
    if (std::abs(result.r) >= 1) return std::nullopt;
    result.t = result.r * std::sqrt(result.df / (1 - result.r * result.r));
    result.p = tTwoSided(result.t, result.df);
    return result;
}

std::vector<double> holm(std::span<const double> p) {
    std::vector<std::size_t> order(p.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t i) { return p[i]; });
    std::vector<double> adjusted(p.size());
    double least = 0;
    for (std::size_t rank = 0; rank < order.size(); ++rank) {
        least = std::max(least, std::min(1.0, static_cast<double>(p.size() - rank) * p[order[rank]]));
        adjusted[order[rank]] = least;
    }
    return adjusted;
}

}  // namespace beatwitness::agreement
