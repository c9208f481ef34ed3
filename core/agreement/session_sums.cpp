#include "core/agreement/session_sums.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::agreement {
namespace {

/// Sums of squares and products about the means.
struct Centred {
    double reference = 0, test = 0, product = 0;
};

Centred centred(const SessionSums& sums) {
    return {std::max(0.0, sums.reference2 - sums.reference * sums.reference / sums.n),
            std::max(0.0, sums.test2 - sums.test * sums.test / sums.n),
            sums.product - sums.reference * sums.test / sums.n};
}

}  // namespace

SessionSums& SessionSums::operator+=(const SessionSums& other) {
    n += other.n;
    referenceSeconds += other.referenceSeconds;
    error += other.error;
    absolute += other.absolute;
    squared += other.squared;
    relative_pct += other.relative_pct;
    reference += other.reference;
    test += other.test;
    reference2 += other.reference2;
    test2 += other.test2;
    product += other.product;
    within3 += other.within3;
    within5 += other.within5;
    within10 += other.within10;
    within5Pct += other.within5Pct;
    within10Pct += other.within10Pct;
    within5Or10 += other.within5Or10;
    half += other.half;
    return *this;
}

SessionSums sumsOf(const trace::Pairs& pairs) {
    SessionSums sums;
    sums.n = static_cast<double>(pairs.size());
    sums.referenceSeconds = static_cast<double>(pairs.referenceSeconds);
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const double reference = pairs.reference[i].value, test = pairs.test[i].value;
        const double d = test - reference, a = std::abs(d), ratio = test / reference;
        const double r = reference - SessionSums::originRate_bpm, t = test - SessionSums::originRate_bpm;
        sums.error += d;
        sums.absolute += a;
        sums.squared += d * d;
        sums.relative_pct += 100 * a / reference;
        sums.reference += r;
        sums.test += t;
        sums.reference2 += r * r;
        sums.test2 += t * t;
        sums.product += r * t;
        sums.within3 += a <= 3;
        sums.within5 += a <= 5;
        sums.within10 += a <= 10;
        sums.within5Pct += a <= 0.05 * reference;
        sums.within10Pct += a <= 0.1 * reference;
        sums.within5Or10 += a <= std::max(5.0, 0.1 * reference);
        sums.half += ratio >= 0.45 && ratio <= 0.55;
    }
    return sums;
}

std::optional<double> biasOf(const SessionSums& sums) {
    if (sums.n < 1) return std::nullopt;
    return sums.error / sums.n;
}

std::optional<double> sdOf(const SessionSums& sums) {
    if (sums.n < 2) return std::nullopt;
    return std::sqrt(std::max(0.0, sums.squared - sums.error * sums.error / sums.n) / (sums.n - 1));
}

std::optional<double> rmseOf(const SessionSums& sums) {
    if (sums.n < 1) return std::nullopt;
    return std::sqrt(sums.squared / sums.n);
}

std::optional<double> pearsonOf(const SessionSums& sums) {
    if (sums.n < 3) return std::nullopt;
    const Centred c = centred(sums);
    const double spread = std::sqrt(c.reference) * std::sqrt(c.test);
    // A constant trace leaves a rest of rounding in its sum of squares, not a spread.
    if (c.reference <= 1e-9 * sums.n || c.test <= 1e-9 * sums.n) return std::nullopt;
    return c.product / spread;
}

std::optional<double> cccOf(const SessionSums& sums) {
    if (sums.n < 2) return std::nullopt;
    const Centred c = centred(sums);
    const double bias = sums.error / sums.n;
    const double denominator = (c.reference + c.test) / sums.n + bias * bias;
    if (!(denominator > 0)) return std::nullopt;
    return 2 * c.product / sums.n / denominator;
}

std::optional<double> iccOf(const SessionSums& sums) {
    if (sums.n < 2) return std::nullopt;
    const Centred c = centred(sums);
    const double n = sums.n, bias = sums.error / n;
    // Two methods: row means vary by a quarter of the variance of the sum, what is left by half of that of d.
    const double ofRows = (c.reference + c.test + 2 * c.product) / 2 / (n - 1);
    const double ofColumns = n * bias * bias / 2;
    const double ofRest = (c.reference + c.test - 2 * c.product) / 2 / (n - 1);
    const double denominator = ofRows + ofRest + 2 * (ofColumns - ofRest) / n;
    if (!(denominator > 0)) return std::nullopt;
    return (ofRows - ofRest) / denominator;
}

}  // namespace beatwitness::agreement
