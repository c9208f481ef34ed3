#include "core/agreement/limits.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "core/agreement/magnitude_limits.h"
#include "core/agreement/quantiles.h"
#include "tests/agreement/oracles.h"
#include "tests/support/published_sets.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;
using agreement::Interval;
using agreement::MoverQuantile;
using agreement::SessionErrors;
using agreement::SessionSums;
using tests::expectInterval;
using tests::expectNear;

using LimitsOracles = tests::Oracles;

namespace {

std::vector<SessionErrors> errorsOf(const std::vector<SessionSums>& sessions) {
    std::vector<SessionErrors> errors;
    for (const auto& sums : sessions)
        errors.push_back(agreement::sessionErrors(sums, sums.n));
    return errors;
}

/// To 1e-5, as the oracles ask of noncentral t.
void expectRoughly(const Interval& found, const nlohmann::json& expected) {
    EXPECT_NEAR(found.lower, expected[0], 1e-5 * std::abs(expected[0].get<double>()));
    EXPECT_NEAR(found.upper, expected[1], 1e-5 * std::abs(expected[1].get<double>()));
}

void expectSimple(const SessionSums& sums, const nlohmann::json& oracle) {
    const double bias = sums.error / sums.n, sd = *agreement::sdOf(sums);
    const auto approximate = agreement::approximateLimits(sums.n, bias, sd);
    const auto exact = agreement::exactLimits(sums.n, bias, sd);
    expectNear(approximate.lower.value, oracle["loa95"][0], "lower limit");
    expectNear(approximate.upper.value, oracle["loa95"][1], "upper limit");
    expectInterval(*approximate.lower.ci95, oracle["loa_lower_ci_ba1999"]);
    expectInterval(*approximate.upper.ci95, oracle["loa_upper_ci_ba1999"]);
    expectRoughly(*exact.lower.ci95, oracle["loa_lower_ci_exact"]);
    expectRoughly(*exact.upper.ci95, oracle["loa_upper_ci_exact"]);
}

void expectMover(const std::vector<SessionErrors>& sessions, const nlohmann::json& oracle) {
    for (const auto& [quantile, word] : {std::pair{MoverQuantile::Normal, std::string{"z"}},
                                         std::pair{MoverQuantile::StudentT, std::string{"t"}}}) {
        const auto mover = agreement::moverLimits(sessions, agreement::pairsWithinDf(sessions), quantile);
        ASSERT_TRUE(mover);
        expectNear(mover->mean, oracle["bias_mean_of_means"], "mean");
        expectNear(mover->meansVariance, oracle["var_of_means"], "variance of means");
        expectNear(mover->harmonicSize, oracle["m_harmonic"], "harmonic size");
        expectNear(mover->sd, oracle["sd_total_zou"], "sd");
        expectInterval(mover->variance, oracle["var_total_ci_zou"], "variance");
        expectNear(mover->limits.lower.value, oracle["loa95_zou"][0], "lower");
        expectNear(mover->limits.upper.value, oracle["loa95_zou"][1], "upper");
        expectInterval(mover->meanCi95, oracle["bias_ci_" + word], "mean");
        expectInterval(*mover->limits.lower.ci95, oracle["loa_lower_ci_mover_" + word], "lower " + word);
        expectInterval(*mover->limits.upper.ci95, oracle["loa_upper_ci_mover_" + word], "upper " + word);
    }
}

void expectRepeated(const std::vector<SessionErrors>& sessions, const nlohmann::json& oracle) {
    const auto c = agreement::componentsOf(sessions);
    ASSERT_TRUE(c);
    expectNear(c->betweenMeanSquare, oracle["ms_between"], "MSB");
    expectNear(c->withinMeanSquare, oracle["ms_within"], "MSW");
    expectNear(c->sizeForBetween, oracle["m0"], "m0");
    expectNear(c->between, oracle["var_between"], "between");
    expectNear(c->total, oracle["sd_total"], "total");
    expectNear(c->bias, oracle["bias_all_obs"], "bias");
    const auto limits = agreement::repeatedPairsLimits(*c);
    expectNear(limits.lower.value, oracle["loa95_ba2007"][0], "lower");
    expectNear(limits.upper.value, oracle["loa95_ba2007"][1], "upper");
}

std::vector<agreement::MagnitudeErrors> onMeans(const std::vector<trace::Pairs>& sessions, bool onReference) {
    std::vector<agreement::MagnitudeErrors> list;
    for (const auto& pairs : sessions) {
        agreement::MagnitudeErrors one;
        for (std::size_t i = 0; i < pairs.size(); ++i) {
            const double r = pairs.reference[i].value, t = pairs.test[i].value;
            one.magnitude.push_back(onReference ? r : (r + t) / 2);
            one.error.push_back(t - r);
        }
        list.push_back(std::move(one));
    }
    return list;
}

std::vector<SessionErrors> cardiacSessions() {
    std::vector<SessionSums> sums;
    for (int subject = 1; subject <= 12; ++subject) {
        std::vector<double> ic, rv;
        for (const auto& row : tests::cardiacOutput)
            if (row[0] == subject) {
                rv.push_back(row[1]);
                ic.push_back(row[2]);
            }
        sums.push_back(agreement::sumsOf(tests::pairsOf(ic, rv)));
    }
    return errorsOf(sums);
}

}  // namespace

TEST_F(LimitsOracles, SimpleLimitsHaveBothIntervals) {
    expectSimple(agreement::sumsOf(pairs("pefr", 2, 0)), expected("pefr.simple_wright1_minus_mini1"));
    expectSimple(agreement::sumsOf(pairs("milk_fat", 1, 0)), expected("milk.simple"));
}

TEST_F(LimitsOracles, OnePairASessionMakesMoverLimitsOfSimpleData) {
    for (const auto& [dataset, id, r, t] : {std::tuple{"pefr", "pefr.simple_wright1_minus_mini1", 2u, 0u},
                                            std::tuple{"milk_fat", "milk.simple", 1u, 0u}}) {
        const auto& oracle = expected(id);
        const auto sums = agreement::sumsOf(pairs(dataset, r, t));
        const double mean = sums.error / sums.n, variance = std::pow(*agreement::sdOf(sums), 2), n = sums.n;

        // By formula: only the between part is left.
        const double high = std::sqrt(variance * (n - 1) / agreement::chiSquaredQuantile(0.025, n - 1));
        const double sd = std::sqrt(variance), upper = mean + agreement::normal975 * sd;

        expectNear(upper + std::sqrt(std::pow(agreement::normal975, 2) * variance / n +
                                     std::pow(agreement::normal975 * (high - sd), 2)),
                   oracle["loa_upper_ci_mover_z"][1], id);
    }
}

TEST_F(LimitsOracles, RepeatedPairsSplitTheVariance) {
    expectRepeated(errorsOf(sessions("cardiac_output", 2, 1)), expected("co.repeated_linked"));
    expectRepeated(errorsOf(sessions("hr_micro", 2, 3)), expected("hr.A.rm_loa"));
    expectRepeated(errorsOf(sessions("hr_micro", 2, 4)), expected("hr.B.rm_loa"));
}

TEST_F(LimitsOracles, MoverLimitsHaveTheirIntervals) {
    expectMover(errorsOf(sessions("cardiac_output", 2, 1)), expected("co.repeated_linked"));
    expectMover(errorsOf(sessions("hr_micro", 2, 3)), expected("hr.A.rm_loa"));
    expectMover(errorsOf(sessions("hr_micro", 2, 4)), expected("hr.B.rm_loa"));
}

TEST_F(LimitsOracles, ErrorsThatGrowWithMagnitudeHaveLimitsThatDo) {
    const auto& oracle = expected("milk.regression_limits");

    const auto limits = agreement::magnitudeLimits(onMeans({pairs("milk_fat", 1, 0)}, false));

    ASSERT_TRUE(limits);
    expectNear(limits->b0.value, oracle["b0"], "b0");
    expectNear(limits->b1.value, oracle["b1"], "b1");
    expectNear(limits->residualSd, oracle["resid_sd_n_minus_2"], "residual sd");
    expectNear(limits->c0.value, oracle["absres_c0"], "c0");
    expectNear(limits->c1.value, oracle["absres_c1"], "c1");
    for (const auto& at : oracle["limits"]) {
        expectNear(limits->centreAt(at["at"]), at["centre"], "centre");
        expectInterval(limits->constantAt(at["at"]), at["constant_sd"]);
        expectInterval(*limits->varyingAt(at["at"]), at["varying_sd"]);
        expectNear(*limits->sdAt(at["at"]), at["sd_varying"], "sd");
    }
}

TEST_F(LimitsOracles, SlopesOnTheReferenceAreThoseOfAllPairs) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}}) {
        const auto& oracle = expected(std::string{"hr."} + device + ".regression_vs_reference");

        const auto limits = agreement::magnitudeLimits(onMeans(sessionPairs("hr_micro", 2, column), true));

        expectNear(limits->b0.value, oracle["b0"], "b0");
        expectNear(limits->b1.value, oracle["b1"], "b1");
        expectNear(limits->residualSd, oracle["resid_sd_n_minus_2"], "residual sd");
        expectNear(limits->c0.value, oracle["absres_c0"], "c0");
        expectNear(limits->c1.value, oracle["absres_c1"], "c1");
    }
}

TEST_F(LimitsOracles, SlopesAreTestedByClusteredErrors) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}}) {
        const auto& oracle = expected(std::string{"hr."} + device + ".regression_on_mean_cluster_se");

        const auto limits = agreement::magnitudeLimits(onMeans(sessionPairs("hr_micro", 2, column), false));

        expectNear(limits->b1.value, oracle["b1"], "b1");
        expectNear(*limits->b0.standardError, oracle["se_b0"], "se b0");
        expectNear(*limits->b1.standardError, oracle["se_b1"], "se b1");
        expectNear(*limits->b1.p, oracle["p_b1"], "p");
        expectInterval(*limits->b1.ci95, oracle["b1_ci"]);
    }
}

TEST_F(LimitsOracles, AnErrorWithoutSpreadHasLimitsWithoutWidth) {
    const auto& oracle = edge("edge.constant_difference")["expected"];

    const auto limits = agreement::exactLimits(4, 3.0, 0.0);

    EXPECT_EQ(limits.lower.value, oracle["loa95"][0].get<double>());
    EXPECT_EQ(limits.upper.ci95->lower, 3.0);
    EXPECT_EQ(limits.upper.ci95->upper, 3.0);
}

TEST_F(LimitsOracles, AComponentBelowZeroCountsAsZero) {
    const auto& edge = this->edge("edge.negative_between_component");
    std::map<int, std::vector<double>> groups;
    for (std::size_t i = 0; i < edge["input"]["d"].size(); ++i)
        groups[edge["input"]["session"][i]].push_back(edge["input"]["d"][i]);
    std::vector<SessionErrors> sessions;
    for (const auto& [session, errors] : groups) {
        std::vector<double> test;
        for (const double d : errors)
            test.push_back(100 + d);
        sessions.push_back(agreement::sessionErrors(
            agreement::sumsOf(tests::pairsOf(std::vector<double>(errors.size(), 100), test)), 3));
    }

    const auto components = agreement::componentsOf(sessions);
    const auto mover = agreement::moverLimits(sessions, agreement::pairsWithinDf(sessions));

    EXPECT_EQ(components->between, 0);
    expectNear(components->total, edge["expected"]["sd_total"], "total");
    expectNear(mover->sd, edge["expected"]["sd_total_zou"], "sd");
    expectNear(mover->limits.lower.value, edge["expected"]["loa95_zou"][0], "lower");
    EXPECT_GE(mover->variance.lower, 0);
}

// Bland & Altman 1986 print bias -2.1 and sd 38.8 of large minus small meter, first readings.
TEST(Limits, ThePublishedPeakFlowExampleComesOut) {
    std::vector<double> small, large;
    for (const auto& row : tests::peakFlow) {
        large.push_back(row[0]);
        small.push_back(row[2]);
    }
    const auto sums = agreement::sumsOf(tests::pairsOf(small, large));

    EXPECT_NEAR(sums.error / sums.n, -2.1, 0.05);
    EXPECT_NEAR(*agreement::sdOf(sums), 38.8, 0.05);
}

// Bland & Altman 1999 print a residual sd of 0.08033 of milk fat on the mean of both methods.
TEST(Limits, ThePublishedMilkFatResidualComesOut) {
    std::vector<double> gerber, trig;
    for (const auto& row : tests::milkFat) {
        trig.push_back(row[0]);
        gerber.push_back(row[1]);
    }

    const auto limits = agreement::magnitudeLimits(onMeans({tests::pairsOf(gerber, trig)}, false));

    EXPECT_NEAR(limits->residualSd, 0.08033, 5e-6);
}

// Bland & Altman 2007 work this set by hand: within-subject mean square 0.1707, between 4.2091.
TEST(Limits, ThePublishedCardiacOutputComponentsComeOut) {
    const auto components = agreement::componentsOf(cardiacSessions());

    EXPECT_NEAR(components->withinMeanSquare, 0.1707, 5e-5);
    EXPECT_NEAR(components->betweenMeanSquare, 4.2091, 5e-5);
}

TEST(Limits, OneSessionHasNoComponents) {
    const std::vector<SessionErrors> one{{100, 1.0, 250.0, 20}};

    EXPECT_FALSE(agreement::componentsOf(one));
    EXPECT_FALSE(agreement::moverLimits(one, 99));
}

TEST(Limits, FewerIndependentReadingsWidenTheInterval) {
    const auto sessions = cardiacSessions();

    const auto all = agreement::moverLimits(sessions, agreement::pairsWithinDf(sessions));
    const auto fewer = agreement::moverLimits(sessions, 5);

    EXPECT_EQ(all->limits.upper.value, fewer->limits.upper.value);
    EXPECT_GT(fewer->limits.upper.ci95->upper, all->limits.upper.ci95->upper);
}

// The bootstrap resamples sessions: twelve subjects, interval around the same point as (c).
TEST(Limits, TheBootstrapStandsOnTheMoverPoint) {
    const auto sessions = cardiacSessions();

    const auto mover = agreement::moverLimits(sessions, agreement::pairsWithinDf(sessions));
    const auto bootstrap = agreement::bootstrapLimits(sessions);

    ASSERT_TRUE(bootstrap);
    EXPECT_NEAR(bootstrap->limits.upper.value, mover->limits.upper.value, 1e-12);
    EXPECT_LT(bootstrap->limits.upper.ci95->lower, bootstrap->limits.upper.value);
    EXPECT_GT(bootstrap->limits.upper.ci95->upper, bootstrap->limits.upper.value);
    EXPECT_FALSE(agreement::bootstrapLimits(std::span{sessions}.first(5)));
}

// By hand: 0, 1, ..., 40: places 1 and 39.
TEST(Limits, PercentilesLieBetweenOrderStatistics) {
    std::vector<double> errors;
    for (int i = 40; i >= 0; --i)
        errors.push_back(i);

    const auto limits = agreement::percentileLimits(errors);

    EXPECT_DOUBLE_EQ(limits.lower.value, 1);
    EXPECT_DOUBLE_EQ(limits.upper.value, 39);
}

// By hand: 0, 0, 0, 0, 10: mean 2, m2 = 16, m4 = (4 x 16 + 4096) / 5 = 832; 832 / 256 - 3 = 0.25.
TEST(Limits, KurtosisIsFourthOverSquaredSecondMoment) {
    EXPECT_DOUBLE_EQ(*agreement::excessKurtosis(std::vector<double>{0, 0, 0, 0, 10}), 0.25);
}
