#include "core/agreement/independent_pairs.h"

#include <cmath>
#include <numbers>

#include "core/agreement/quantiles.h"

namespace beatwitness::agreement {
namespace {

/// 1/n moments.
struct Moments {
    double reference = 0, test = 0, product = 0, difference = 0;  ///< variances, covariance, mean of d
};

Moments momentsOf(const SessionSums& s) {
    const double n = s.n;
    return {(s.reference2 - s.reference * s.reference / n) / n, (s.test2 - s.test * s.test / n) / n,
            (s.product - s.reference * s.test / n) / n, s.error / n};
}

/// Confidence limits of ICC(2,1) from those of F; two columns. The degrees of freedom of the denominator are
/// Satterthwaite's.
void addAbsoluteInterval(IntraclassCorrelations& icc, double n) {
    const double k = 2, r = icc.icc21, rows = icc.rowsMeanSquare, columns = icc.columnsMeanSquare,
                 rest = icc.errorMeanSquare;
    const double a = k * r / (n * (1 - r)), b = 1 + k * r * (n - 1) / (n * (1 - r));
    const double ofColumns = a * columns, ofRest = b * rest;
    icc.icc21Df = std::pow(ofColumns + ofRest, 2) /
                  (ofColumns * ofColumns / (k - 1) + ofRest * ofRest / ((n - 1) * (k - 1)));
    const double high = fQuantile(0.975, n - 1, icc.icc21Df), low = fQuantile(0.975, icc.icc21Df, n - 1);
    const double spread = k * columns + (k * n - k - n) * rest;
    icc.icc21Ci95 = {n * (rows - high * rest) / (high * spread + n * rows),
                     n * (low * rows - rest) / (spread + n * low * rows)};
}

void addConsistencyInterval(IntraclassCorrelations& icc, double n) {
    const double f = icc.rowsMeanSquare / icc.errorMeanSquare, q = fQuantile(0.975, n - 1, n - 1);
    const double low = f / q, high = f * q;
    icc.icc31Ci95 = {(low - 1) / (low + 1), (high - 1) / (high + 1)};
}

}  // namespace

std::optional<Interval> independentBias(const SessionSums& sums) {
    const auto sd = sdOf(sums);
    if (!sd) return std::nullopt;
    const double bias = sums.error / sums.n, reach = tQuantile(0.975, sums.n - 1) * *sd / std::sqrt(sums.n);
    return Interval{bias - reach, bias + reach};
}

std::optional<Interval> independentSd(const SessionSums& sums) {
    const auto sd = sdOf(sums);
    if (!sd) return std::nullopt;
    const double df = sums.n - 1;
    return Interval{*sd * std::sqrt(df / chiSquaredQuantile(0.975, df)),
                    *sd * std::sqrt(df / chiSquaredQuantile(0.025, df))};
}

std::optional<Interval> independentPearson(const SessionSums& sums) {
    const auto r = pearsonOf(sums);
    if (!r || sums.n < 4 || std::abs(*r) >= 1) return std::nullopt;
    const double z = std::atanh(*r), reach = normal975 / std::sqrt(sums.n - 3);
    return Interval{std::tanh(z - reach), std::tanh(z + reach)};
}

std::optional<Concordance> independentConcordance(const SessionSums& sums) {
    const auto r = pearsonOf(sums), ccc = cccOf(sums);
    if (!r || !ccc || *r == 0 || std::abs(*ccc) >= 1) return std::nullopt;
    const auto m = momentsOf(sums);
    const double p = *ccc, u = m.difference / std::pow(m.reference * m.test, 0.25), r2 = *r * *r;
    const double variance = ((1 - r2) * p * p * (1 - p * p) / r2 + 2 * p * p * p * (1 - p) * u * u / *r -
                             std::pow(p, 4) * std::pow(u, 4) / (2 * r2)) /
                            (sums.n - 2);
    if (!(variance >= 0)) return std::nullopt;
    Concordance result{p, p / *r, std::sqrt(variance), {}, {}};
    const double z = std::atanh(p), reach = normal975 * result.standardError / (1 - p * p);
    result.byZ = {std::tanh(z - reach), std::tanh(z + reach)};
    result.asymptotic = {p - normal975 * result.standardError, p + normal975 * result.standardError};
    return result;
}

std::optional<IntraclassCorrelations> independentIntraclass(const SessionSums& sums) {
    if (sums.n < 3) return std::nullopt;
    const auto m = momentsOf(sums);
    const double n = sums.n;
    IntraclassCorrelations icc;
    icc.rowsMeanSquare = n * (m.reference + m.test + 2 * m.product) / 2 / (n - 1);
    icc.columnsMeanSquare = n * m.difference * m.difference / 2;
    icc.errorMeanSquare = n * (m.reference + m.test - 2 * m.product) / 2 / (n - 1);
    icc.withinMeanSquare = (icc.columnsMeanSquare + (n - 1) * icc.errorMeanSquare) / n;
    const double rows = icc.rowsMeanSquare, rest = icc.errorMeanSquare;
    if (!(rest > 0) || !(rows > 0)) return std::nullopt;
    icc.icc11 = (rows - icc.withinMeanSquare) / (rows + icc.withinMeanSquare);
    icc.icc21 = (rows - rest) / (rows + rest + 2 * (icc.columnsMeanSquare - rest) / n);
    icc.icc31 = (rows - rest) / (rows + rest);
    addAbsoluteInterval(icc, n);
    addConsistencyInterval(icc, n);
    return icc;
}

Repeatability repeatability(double squares, double twins) {
    const double within = std::sqrt(squares / twins / 2);
    return {within, normal975 * std::numbers::sqrt2 * within};
}

}  // namespace beatwitness::agreement
