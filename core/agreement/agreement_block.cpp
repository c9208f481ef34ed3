#include "core/agreement/agreement_block.h"

#include <cmath>

#include "core/agreement/quantiles.h"

namespace beatwitness::agreement {
namespace {

/// First pass: sums that need no mean.
struct Sums {
    double reference = 0.0, test = 0.0, error = 0.0, absolute = 0.0, relative = 0.0;
    std::size_t within5 = 0, within10 = 0, within10Pct = 0, half = 0;
};

Sums sumsOf(const trace::Pairs& pairs) {
    Sums sums;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const double reference = pairs.reference[i].value, test = pairs.test[i].value;
        const double error = test - reference, absolute = std::abs(error), ratio = test / reference;
        sums.reference += reference;
        sums.test += test;
        sums.error += error;
        sums.absolute += absolute;
        sums.relative += absolute / reference;
        sums.within5 += absolute <= 5.0;
        sums.within10 += absolute <= 10.0;
        sums.within10Pct += absolute <= 0.1 * reference;
        sums.half += ratio >= 0.45 && ratio <= 0.55;
    }
    return sums;
}

/// Second pass: squares and products about the means.
struct Moments {
    double reference = 0.0, test = 0.0, product = 0.0, error = 0.0;
};

Moments momentsOf(const trace::Pairs& pairs, double meanReference, double meanTest, double bias) {
    Moments moments;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const double reference = pairs.reference[i].value - meanReference;
        const double test = pairs.test[i].value - meanTest;
        const double error = pairs.error(i).value - bias;
        moments.reference += reference * reference;
        moments.test += test * test;
        moments.product += reference * test;
        moments.error += error * error;
    }
    return moments;
}

}  // namespace

AgreementBlock agreementOf(const trace::Pairs& pairs) {
    AgreementBlock block;
    block.pairs = pairs.size();
    if (pairs.referenceSeconds > 0)
        block.coverage =
            Percent{100.0 * static_cast<double>(pairs.size()) / static_cast<double>(pairs.referenceSeconds)};
    if (pairs.size() == 0) return block;

    const auto n = static_cast<double>(pairs.size());
    const Sums sums = sumsOf(pairs);
    const double bias = sums.error / n;
    const auto share = [n](std::size_t count) { return Percent{100.0 * static_cast<double>(count) / n}; };
    block.bias = BpmDelta{bias};
    block.mae = BpmDelta{sums.absolute / n};
    block.mape = Percent{100.0 * sums.relative / n};
    block.within5Bpm = share(sums.within5);
    block.within10Bpm = share(sums.within10);
    block.within10Pct = share(sums.within10Pct);
    block.halfRate = share(sums.half);

    const Moments moments = momentsOf(pairs, sums.reference / n, sums.test / n, bias);
    block.rmse = BpmDelta{std::sqrt(moments.error / n + bias * bias)};
    if (pairs.size() < 2) return block;

    const double sd = std::sqrt(moments.error / (n - 1));
    block.sd = BpmDelta{sd};
    block.loaLower = BpmDelta{bias - normal975 * sd};
    block.loaUpper = BpmDelta{bias + normal975 * sd};
    const double spread = std::sqrt(moments.reference) * std::sqrt(moments.test);
    if (pairs.size() > 2 && spread > 0) block.pearsonR = moments.product / spread;
    const double denominator = (moments.reference + moments.test) / n + bias * bias;
    if (denominator > 0) block.ccc = 2 * moments.product / n / denominator;
    return block;
}

}  // namespace beatwitness::agreement
