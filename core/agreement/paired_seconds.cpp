#include "core/agreement/paired_seconds.h"

#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

namespace beatwitness::agreement {
namespace {

/// What is known of one epoch while its seconds pass.
struct Epoch {
    std::int32_t number = 0;
    int referenceSeconds = 0, pairs = 0;
    double reference = 0, pairedReference = 0, test = 0;
    std::array<int, 256> flags{};

    void add(const PairedSeconds& all, std::size_t i) {
        ++referenceSeconds;
        reference += all.reference[i];
        if (all.paired[i] == 0) return;
        ++pairs;
        pairedReference += all.reference[i];
        test += all.test[i];
        ++flags[all.flag[i]];
    }
};

void append(PairedSeconds& epochs, const Epoch& epoch, int epoch_s) {
    if (2 * epoch.referenceSeconds < epoch_s) return;
    const bool paired = 2 * epoch.pairs >= epoch_s;
    epochs.seconds.push_back(epoch.number * epoch_s);
    epochs.reference.push_back(paired ? epoch.pairedReference / epoch.pairs
                                      : epoch.reference / epoch.referenceSeconds);
    epochs.test.push_back(paired ? epoch.test / epoch.pairs : 0.0);
    epochs.paired.push_back(paired ? 1 : 0);
    epochs.flag.push_back(
        static_cast<std::uint8_t>(std::ranges::max_element(epoch.flags) - epoch.flags.begin()));
}

std::int32_t floorOver(std::int32_t second, int epoch_s) {
    return second >= 0 ? second / epoch_s : -((-second + epoch_s - 1) / epoch_s);
}

}  // namespace

SessionSums sumsOf(const PairedSeconds& seconds) {
    trace::Pairs pairs;
    pairs.referenceSeconds = seconds.size();
    for (std::size_t i = 0; i < seconds.size(); ++i) {
        if (seconds.paired[i] == 0) continue;
        pairs.seconds.push_back(seconds.seconds[i]);
        pairs.reference.push_back(Bpm{seconds.reference[i]});
        pairs.test.push_back(Bpm{seconds.test[i]});
    }
    return sumsOf(pairs);
}

SpanSeconds spansOf(const PairedSeconds& seconds) {
    SpanSeconds spans;
    for (const auto second : seconds.seconds) {
        const auto at_s = static_cast<double>(second);
        if (at_s < seconds.firstSample_s - trace::instantTolerance_s)
            ++spans.late;
        else if (at_s > seconds.lastSample_s + trace::instantTolerance_s)
            ++spans.early;
        else
            ++spans.own;
    }
    return spans;
}

std::vector<double> errorsOf(const PairedSeconds& seconds) {
    std::vector<double> errors;
    errors.reserve(seconds.size());
    for (std::size_t i = 0; i < seconds.size(); ++i)
        if (seconds.paired[i] != 0) errors.push_back(seconds.test[i] - seconds.reference[i]);
    return errors;
}

Attribution attributionOf(const PairedSeconds& seconds) {
    Attribution sums;
    for (std::size_t i = 0; i < seconds.size(); ++i) {
        if (seconds.paired[i] == 0) continue;
        const double absolute = std::abs(seconds.test[i] - seconds.reference[i]);
        auto& part = seconds.flag[i] != 0 ? sums.kinds[seconds.flag[i] - 1U]
                     : absolute <= std::max(5.0, 0.1 * seconds.reference[i]) ? sums.withinTolerance
                                                                             : sums.noFlag;
        part += {1, absolute};
    }
    return sums;
}

PairedSeconds inEpochs(const PairedSeconds& seconds, int epoch_s) {
    assert(epoch_s >= 1 && epoch_s <= 60);
    if (epoch_s == 1) return seconds;
    PairedSeconds epochs;
    epochs.firstSample_s = seconds.firstSample_s;
    epochs.lastSample_s = seconds.lastSample_s;
    Epoch epoch;
    for (std::size_t i = 0; i < seconds.size(); ++i) {
        const auto number = floorOver(seconds.seconds[i], epoch_s);
        if (number != epoch.number) {
            append(epochs, epoch, epoch_s);
            epoch = Epoch{};
            epoch.number = number;
        }
        epoch.add(seconds, i);
    }
    append(epochs, epoch, epoch_s);
    return epochs;
}

double independentReadings(const std::vector<double>& errors) {
    const auto n = static_cast<Eigen::Index>(errors.size());
    if (n < 3) return static_cast<double>(n);
    const Eigen::Map<const Eigen::VectorXd> raw(errors.data(), n);
    const Eigen::VectorXd centred = raw.array() - raw.mean();
    const double variance = centred.squaredNorm();
    if (!(variance > 1e-12 * static_cast<double>(n))) return 1.0;
    double sum = 0.0;
    for (Eigen::Index lag = 1; lag < n; ++lag) {
        const double rho = centred.head(n - lag).dot(centred.tail(n - lag)) / variance;
        if (rho <= 0) break;
        sum += (1 - static_cast<double>(lag) / static_cast<double>(n)) * rho;
    }
    return static_cast<double>(n) / (1 + 2 * sum);
}

}  // namespace beatwitness::agreement
