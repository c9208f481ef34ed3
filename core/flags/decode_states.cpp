#include "core/flags/decode_states.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace beatwitness::flags {
namespace {

constexpr std::array lateBy_s{10, 15, 21, 29, 39, 52, 68};
constexpr std::size_t plainStates = 8;  ///< all but Late
constexpr std::size_t stateCount = plainStates + lateBy_s.size();
constexpr std::size_t offState = plainStates - 1;

constexpr std::array<TestState, plainStates> plain{
    TestState::Follows,  TestState::Half,        TestState::Double, TestState::Cadence1,
    TestState::Cadence2, TestState::CadenceHalf, TestState::Still,  TestState::Off};

using Costs = std::array<double, stateCount>;

double outside(double value, double low, double high) {
    return std::max({low - value, value - high, 0.0});
}

/// Costs of every state in one second.
class SecondCosts {
public:
    SecondCosts(const SecondTable& table, const StateEvidence& evidence, const Settings& settings)
        : table_(table),
          evidence_(evidence),
          settings_(settings),
          near_(envelopeOf(table.reference, static_cast<std::int64_t>(settings.follow.tolerance_s))) {
        if (evidence.cadence) cadence_ = envelopeOf(*evidence.cadence, 3);
    }

    [[nodiscard]] Costs at(std::size_t i) const {
        const double value = table_.test.values[i] - table_.bias_bpm, raw = table_.test.values[i];
        const double low = near_.low[i], high = near_.high[i], noise = table_.noise_bpm;
        const auto& rate = settings_.rate;
        Costs costs;
        costs.fill(settings_.decoding.mostCost);
        costs[0] = bounded(outside(value, low, high), noise, 0.0);
        costs[1] = bounded(outside(raw, low * (rate.halfLowest + 0.03), high * (rate.halfHighest - 0.03)),
                           std::max(1.5, 0.6 * noise), 0.6);
        if (low < rate.doubleReferenceBelow_bpm)
            costs[2] =
                bounded(outside(raw, low * (rate.doubleLowest + 0.08), high * (rate.doubleHighest - 0.08)),
                        2.0 * noise, 1.0);
        if (evidence_.cadence && cadence_.valid[i]) addCadence(raw, i, costs);
        if (evidence_.still[i]) costs[6] = 0.2;
        costs[offState] = settings_.decoding.unexplained;
        addLate(value, i, costs);
        return costs;
    }

private:
    [[nodiscard]] double bounded(double distance, double noise, double base) const {
        const double z = distance / noise;
        return std::min(base + 0.5 * z * z, settings_.decoding.mostCost);
    }

    void addCadence(double value, std::size_t i, Costs& costs) const {
        constexpr std::array multiples{1.0, 2.0, 0.5};
        const double low = cadence_.low[i], high = cadence_.high[i];
        for (std::size_t k = 0; k < multiples.size(); ++k)
            if (low * multiples[k] >= 20.0)
                costs[3 + k] = bounded(outside(value, low * multiples[k], high * multiples[k]), 2.0, 0.2);
    }

    void addLate(double value, std::size_t i, Costs& costs) const {
        for (std::size_t k = 0; k < lateBy_s.size(); ++k) {
            const auto by = static_cast<std::size_t>(lateBy_s[k]);
            if (i < by || !near_.valid[i - by]) continue;
            costs[plainStates + k] =
                bounded(outside(value, near_.low[i - by], near_.high[i - by]), table_.noise_bpm, 0.3);
        }
    }

    const SecondTable& table_;
    const StateEvidence& evidence_;
    const Settings& settings_;
    Envelope near_;
    Envelope cadence_;
};

/// What it costs to begin each state.
Costs entryCosts(const DecodingSettings& decoding) {
    Costs enter;
    enter.fill(decoding.enter);
    enter[0] = decoding.back;
    enter[3] = enter[4] = enter[5] = decoding.enter + 1.0;
    enter[offState] = decoding.enter - 1.0;
    return enter;
}

std::size_t cheapest(const Costs& total) {
    return static_cast<std::size_t>(std::ranges::min_element(total) - total.begin());
}

}  // namespace

std::vector<TestState> decodeStates(const SecondTable& table, const StateEvidence& evidence,
                                    const Settings& settings) {
    const SecondCosts costs{table, evidence, settings};
    const Costs enter = entryCosts(settings.decoding);
    std::vector<std::array<std::uint8_t, stateCount>> before(table.size());
    Costs total;
    total.fill(0.0);
    for (std::size_t k = 1; k < stateCount; ++k)
        total[k] = enter[k];
    for (std::size_t i = 0; i < table.size(); ++i) {
        for (std::size_t k = 0; k < stateCount; ++k)
            before[i][k] = static_cast<std::uint8_t>(k);
        if (!table.paired[i] || evidence.leftOut[i]) continue;
        const std::size_t best = cheapest(total);
        const Costs now = costs.at(i);
        const double from = total[best];
        for (std::size_t k = 0; k < stateCount; ++k) {
            if (from + enter[k] < total[k]) {
                before[i][k] = static_cast<std::uint8_t>(best);
                total[k] = from + enter[k];
            }
            total[k] += settings.decoding.independence * now[k];
        }
    }
    std::vector<TestState> path(table.size(), TestState::Follows);
    std::size_t state = cheapest(total);
    for (std::size_t i = table.size(); i-- > 0;) {
        path[i] = state < plainStates ? plain[state] : TestState::Late;
        state = before[i][state];
    }
    return path;
}

}  // namespace beatwitness::flags
