#include "core/agreement/session_bootstrap.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/agreement/pooled_agreement.h"
#include "core/agreement/proportion.h"
#include "tests/agreement/oracles.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;
using agreement::BootstrapDistribution;
using agreement::SessionSums;
using agreement::SummableRows;
using tests::expectInterval;
using tests::expectNear;

using BootstrapOracles = tests::Oracles;

namespace {

std::optional<double> ratio(std::span<const double> totals) {
    return totals[0] / totals[1];
}

SummableRows absoluteErrors(const std::vector<SessionSums>& sessions) {
    SummableRows rows{2, {}};
    for (const auto& session : sessions)
        rows.add(std::vector{session.absolute, session.n});
    return rows;
}

SummableRows sessionMeans(const std::vector<SessionSums>& sessions) {
    SummableRows rows{2, {}};
    for (const auto& session : sessions)
        rows.add(std::vector{session.error / session.n, 1.0});
    return rows;
}

SummableRows manyRows(std::size_t k) {
    SummableRows rows{2, {}};
    for (std::size_t i = 0; i < k; ++i)
        rows.add(
            std::vector{std::fmod(static_cast<double>(i) * 7.3, 11.0), 1.0 + static_cast<double>(i % 3)});
    return rows;
}

void expectOracle(const SummableRows& rows, const nlohmann::json& oracle) {
    const BootstrapDistribution values{agreement::resampled(rows), ratio};
    expectNear(values.mean(), oracle["boot_mean"], "mean");
    expectNear(values.sd(), oracle["boot_sd"], "sd");
    expectInterval(agreement::percentileInterval(values), oracle["percentile_ci"], "percentile");
    expectNear(values.below(oracle["estimate"]), oracle["prob_below_estimate"], "below");
    expectNear(values.at(oracle["estimate"]), oracle["prob_equal_estimate"], "at");
    const auto accelerated = agreement::acceleratedInterval(rows, values, ratio);
    expectNear(accelerated.bias, oracle["z0_midrank"], "z0");
    expectNear(accelerated.acceleration, oracle["acceleration_jackknife"], "acceleration");
    expectNear(accelerated.lowerLevel, oracle["bca_levels"][0], "lower level");
    expectNear(accelerated.upperLevel, oracle["bca_levels"][1], "upper level");
    expectInterval(accelerated.interval, oracle["bca_ci"], "accelerated");
}

}  // namespace

TEST_F(BootstrapOracles, EnumeratedRatiosAreTheExactDistribution) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}})
        expectOracle(absoluteErrors(sessions("hr_micro", 2, column)),
                     expected(std::string{"hr."} + device + ".mae_session_bootstrap_exact"));
}

TEST_F(BootstrapOracles, EnumeratedMeansOfSessionMeansAreTheExactDistribution) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}})
        expectOracle(sessionMeans(sessions("hr_micro", 2, column)),
                     expected(std::string{"hr."} + device + ".bias_session_bootstrap_exact"));
}

TEST_F(BootstrapOracles, ExpandedLevelsWidenTheInterval) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}}) {
        const auto& oracle = expected(std::string{"hr."} + device + ".mae_session_bootstrap_exact_expanded");

        const BootstrapDistribution values{
            agreement::resampled(absoluteErrors(sessions("hr_micro", 2, column))), ratio};

        expectNear(agreement::expandedLevel(6), oracle["level"], "level");
        expectInterval(agreement::percentileInterval(values, agreement::expandedLevel(6)), oracle["ci"]);
    }
}

TEST_F(BootstrapOracles, SixSessionsGiveConcordanceItsIntervalAtExpandedLevels) {
    const auto figures = agreement::timeWeighted(sessions("hr_micro", 2, 3));

    ASSERT_TRUE(figures.ccc.ci95) << figures.ccc.method;
    EXPECT_LT(figures.ccc.ci95->lower, *figures.ccc.value);
    EXPECT_GT(figures.ccc.ci95->upper, *figures.ccc.value);
    EXPECT_NE(figures.ccc.method.find("every resample"), std::string::npos) << figures.ccc.method;
}

TEST_F(BootstrapOracles, ProportionsHaveTheirTextbookIntervals) {
    for (const auto* id : {"pefr.share_within_40", "hr.A.share_within_5bpm_wilson_IID",
                           "hr.A.share_within_10bpm_wilson_IID", "hr.B.share_within_10bpm_wilson_IID"}) {
        const auto& oracle = expected(id);
        expectInterval(agreement::wilson(oracle["x"], oracle["n"]), oracle["wilson"], id);
        expectInterval(agreement::clopperPearson(oracle["x"], oracle["n"]), oracle["clopper_pearson"], id);
    }
    for (const auto* id : {"edge.all_within_tolerance", "edge.none_within_tolerance"}) {
        const auto& oracle = edge(id)["expected"];
        expectInterval(agreement::wilson(oracle["x"], oracle["n"]), oracle["wilson"], id);
        expectInterval(agreement::clopperPearson(oracle["x"], oracle["n"]), oracle["clopper_pearson"], id);
    }
}

// C(2k - 1, k) multisets.
TEST(SessionBootstrap, EnumeratesEveryMultisetUpToEight) {
    EXPECT_EQ(agreement::resampled(manyRows(2)).size(), 3u);
    EXPECT_EQ(agreement::resampled(manyRows(6)).size(), 462u);
    EXPECT_EQ(agreement::resampled(manyRows(8)).size(), 6435u);
}

// Closed form: the mean of k draws has the mean of the rows and their 1/k standard deviation over sqrt(k).
// 20,000 draws: the mean within four of its standard errors, the spread within 2 %.
TEST(SessionBootstrap, DrawnMeansHaveTheSpreadOfTheory) {
    SummableRows rows{2, {}};
    double sum = 0, squares = 0;
    for (int i = 0; i < 30; ++i) {
        const double value = std::fmod(i * 7.3, 11.0);
        rows.add(std::vector{value, 1.0});
        sum += value;
        squares += value * value;
    }
    const double mean = sum / 30, spread = std::sqrt((squares / 30 - mean * mean) / 30);

    const BootstrapDistribution drawn{agreement::resampled(rows, {20000, 7}), ratio};

    EXPECT_NEAR(drawn.mean(), mean, 4 * spread / std::sqrt(20000.0));
    EXPECT_NEAR(drawn.sd(), spread, 0.02 * spread);
}

TEST(SessionBootstrap, TheSeedDecidesAndIsRepeatable) {
    const auto rows = manyRows(30);

    const auto one = agreement::resampled(rows, {500, 1}), again = agreement::resampled(rows, {500, 1}),
               other = agreement::resampled(rows, {500, 2});

    EXPECT_EQ(one.totals, again.totals);
    EXPECT_NE(one.totals, other.totals);
}

TEST(SessionBootstrap, AReplicateDoesNotDependOnHowManyThereAre) {
    const auto rows = manyRows(30);

    const auto few = agreement::resampled(rows, {100, 3}), many = agreement::resampled(rows, {1000, 3});

    for (std::size_t i = 0; i < 100; ++i)
        EXPECT_TRUE(std::ranges::equal(few.total(i), many.total(i))) << i;
}

TEST(SessionBootstrap, TheOrderOfSessionsChangesNothing) {
    const auto rows = manyRows(31);
    SummableRows reversed{2, {}};
    for (std::size_t i = rows.rows(); i-- > 0;)
        reversed.add(std::span{rows.values}.subspan(2 * i, 2));

    EXPECT_EQ(agreement::resampled(rows, {200, 1}).totals, agreement::resampled(reversed, {200, 1}).totals);
}

TEST(SessionBootstrap, EveryResampleDrawsAsManyRowsAsThereAre) {
    SummableRows rows{1, std::vector<double>(25, 1.0)};

    const auto resamples = agreement::resampled(rows, {300, 1});

    for (std::size_t i = 0; i < resamples.size(); ++i)
        EXPECT_EQ(resamples.total(i)[0], 25.0);
}
