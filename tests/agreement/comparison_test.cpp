#include "core/agreement/comparison.h"

#include <gtest/gtest.h>

#include <cmath>

#include "core/agreement/independent_pairs.h"
#include "core/agreement/metric.h"
#include "tests/agreement/oracles.h"

using namespace beatwitness;
using agreement::SessionSums;
using tests::expectInterval;
using tests::expectNear;

using ComparisonOracles = tests::Oracles;

namespace {

std::vector<double> valuesOf(const std::vector<SessionSums>& sessions, agreement::Metric metric) {
    std::vector<double> values;
    for (const auto& session : sessions)
        values.push_back(*agreement::valueOf(metric, session));
    return values;
}

std::vector<double> differences(const std::vector<double>& a, const std::vector<double>& b) {
    std::vector<double> list;
    for (std::size_t i = 0; i < a.size(); ++i)
        list.push_back(a[i] - b[i]);
    return list;
}

std::vector<double> absolute(std::vector<double> values) {
    for (double& value : values)
        value = std::abs(value);
    return values;
}

void expectEquivalence(const std::vector<double>& values, const nlohmann::json& oracle) {
    const auto result = agreement::equivalence(values, oracle["margin"]);
    ASSERT_TRUE(result);
    expectNear(result->mean, oracle["mean"], "mean");
    expectNear(result->tLower, oracle["t_lower"], "t lower");
    expectNear(result->tUpper, oracle["t_upper"], "t upper");
    expectNear(result->pLower, oracle["p_lower"], "p lower");
    expectNear(result->pUpper, oracle["p_upper"], "p upper");
    expectNear(result->p(), oracle["p_tost"], "p");
    expectInterval(result->ci90, oracle["ci90"]);
    EXPECT_EQ(result->equivalent, oracle["equivalent"].get<bool>());
}

}  // namespace

TEST_F(ComparisonOracles, PairedSessionsGiveTheTIntervalAndTheSignFlip) {
    const auto a = valuesOf(sessions("hr_micro", 2, 3), agreement::Metric::Mae),
               b = valuesOf(sessions("hr_micro", 2, 4), agreement::Metric::Mae);
    const auto& oracle = expected("hr.A_minus_B.paired_mae");

    const auto paired = agreement::pairedDifference(differences(a, b));

    expectNear(paired.mean.mean, oracle["mean"], "mean");
    expectNear(*paired.mean.standardError, oracle["se"], "se");
    expectInterval(*paired.ci95, oracle["ci_t"]);
    expectNear(*paired.t, oracle["t"], "t");
    expectNear(*paired.p, oracle["p"], "p");
    EXPECT_DOUBLE_EQ(agreement::signFlip(differences(a, b))->p, oracle["p_sign_flip_exact"]);
}

TEST_F(ComparisonOracles, SizesOfBiasAreComparedAlike) {
    const auto a = absolute(valuesOf(sessions("hr_micro", 2, 3), agreement::Metric::Bias)),
               b = absolute(valuesOf(sessions("hr_micro", 2, 4), agreement::Metric::Bias));
    const auto& oracle = expected("hr.A_minus_B.paired_abs_bias");

    const auto paired = agreement::pairedDifference(differences(a, b));

    expectNear(paired.mean.mean, oracle["mean"], "mean");
    expectInterval(*paired.ci95, oracle["ci_t"]);
    EXPECT_DOUBLE_EQ(agreement::signFlip(differences(a, b))->p, oracle["p_sign_flip_exact"]);
}

TEST_F(ComparisonOracles, SpreadsOfSessionBiasAreCompared) {
    const auto& oracle = expected("hr.A_vs_B.pitman_morgan_session_bias");

    const auto spread =
        agreement::compareSpread(valuesOf(sessions("hr_micro", 2, 3), agreement::Metric::Bias),
                                 valuesOf(sessions("hr_micro", 2, 4), agreement::Metric::Bias));

    ASSERT_TRUE(spread);
    expectNear(spread->varianceRatio, oracle["var_ratio"], "ratio");
    expectNear(spread->r, oracle["r_sum_diff"], "r");
    expectNear(spread->t, oracle["t"], "t");
    expectNear(spread->p, oracle["p"], "p");
}

TEST_F(ComparisonOracles, DifferentSessionsAreComparedByWelch) {
    const auto c = valuesOf(sessions("hr_micro_C", 2, 3), agreement::Metric::Mae);
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}}) {
        const auto& oracle = expected(std::string{"hr."} + device + "_minus_C.unpaired_mae_welch");

        const auto result =
            agreement::welch(valuesOf(sessions("hr_micro", 2, column), agreement::Metric::Mae), c);

        expectNear(result->difference, oracle["diff"], "difference");
        expectNear(result->standardError, oracle["se"], "se");
        expectNear(result->df, oracle["df"], "df");
        expectNear(result->t, oracle["t"], "t");
        expectNear(result->p, oracle["p"], "p");
        expectInterval(result->ci95, oracle["ci_t"]);
    }
}

TEST_F(ComparisonOracles, EquivalenceIsJudgedByTwoOneSidedTests) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}})
        for (const auto* margin : {"3", "5"})
            expectEquivalence(valuesOf(sessions("hr_micro", 2, column), agreement::Metric::Bias),
                              expected(std::string{"hr."} + device + ".tost_" + margin + "bpm"));
    std::vector<double> errors;
    const auto peaks = pairs("pefr", 2, 0);
    for (std::size_t i = 0; i < peaks.size(); ++i)
        errors.push_back(peaks.error(i).value);
    expectEquivalence(errors, expected("pefr.tost_20"));
    expectEquivalence(errors, expected("pefr.tost_40"));
}

TEST_F(ComparisonOracles, SessionsOfDeviceCHaveTheirSums) {
    const auto found = sessions("hr_micro_C", 2, 3);
    const auto& oracle = expected("hr.C.sessions");

    for (std::size_t i = 0; i < found.size(); ++i) {
        expectNear(*agreement::valueOf(agreement::Metric::Bias, found[i]), oracle[i]["bias"], "bias");
        expectNear(*agreement::valueOf(agreement::Metric::Mae, found[i]), oracle[i]["mae"], "mae");
        expectNear(*agreement::valueOf(agreement::Metric::Mape, found[i]), oracle[i]["mape_pct"], "mape");
        expectNear(*agreement::valueOf(agreement::Metric::Rmse, found[i]), oracle[i]["rmse"], "rmse");
        EXPECT_EQ(found[i].within5, oracle[i]["n_within_5bpm"].get<double>());
        EXPECT_EQ(found[i].within10Pct, oracle[i]["n_within_10pct"].get<double>());
        EXPECT_EQ(found[i].within5Or10, oracle[i]["n_within_5bpm_or_10pct"].get<double>());
    }
}

TEST_F(ComparisonOracles, IndependentPairsHaveFormulasForConcordance) {
    for (const auto& [dataset, id, r, t] :
         {std::tuple{"pefr", "pefr.ccc_wright1_mini1", 2u, 0u}, std::tuple{"milk_fat", "milk.ccc", 1u, 0u}}) {
        const auto& oracle = expected(id);

        const auto found = agreement::independentConcordance(agreement::sumsOf(pairs(dataset, r, t)));

        ASSERT_TRUE(found);
        expectNear(found->ccc, oracle["ccc"], "ccc");
        expectNear(found->accuracy, oracle["c_b"], "accuracy");
        expectNear(found->standardError, oracle["se"], "se");
        expectInterval(found->byZ, oracle["ci_z_transform"]);
        expectInterval(found->asymptotic, oracle["ci_asymptotic"]);
    }
}

TEST_F(ComparisonOracles, IndependentPairsHaveFormulasForIntraclassCorrelation) {
    for (const auto& [dataset, id, r, t] :
         {std::tuple{"pefr", "pefr.icc_wright1_mini1", 2u, 0u}, std::tuple{"milk_fat", "milk.icc", 1u, 0u}}) {
        const auto& oracle = expected(id);

        const auto found = agreement::independentIntraclass(agreement::sumsOf(pairs(dataset, r, t)));

        ASSERT_TRUE(found);
        expectNear(found->rowsMeanSquare, oracle["ms_rows"], "MSR");
        expectNear(found->errorMeanSquare, oracle["ms_error"], "MSE");
        expectNear(found->icc11, oracle["icc_1_1"], "1,1");
        expectNear(found->icc21, oracle["icc_2_1"], "2,1");
        expectNear(found->icc31, oracle["icc_3_1"], "3,1");
        expectNear(found->icc21Df, oracle["icc_2_1_df"], "df");
        expectInterval(found->icc21Ci95, oracle["icc_2_1_ci"], "2,1");
        expectInterval(found->icc31Ci95, oracle["icc_3_1_ci"], "3,1");
    }
}

TEST_F(ComparisonOracles, IndependentPairsHaveFormulasForBiasAndCorrelation) {
    const auto& oracle = expected("pefr.simple_wright1_minus_mini1");
    const auto sums = agreement::sumsOf(pairs("pefr", 2, 0));

    expectInterval(*agreement::independentBias(sums), oracle["bias_ci"]);
    expectInterval(*agreement::independentPearson(sums), oracle["pearson_r_ci_fisher"]);
}

TEST_F(ComparisonOracles, TwoReadingsOfOneMeterGiveItsRepeatability) {
    for (const auto& [name, first] : {std::pair{"wright", 0u}, std::pair{"mini", 2u}}) {
        const auto twins = agreement::sumsOf(pairs("pefr", first, first + 1));

        const auto found = agreement::repeatability(twins.squared, twins.n);

        expectNear(found.withinSd, expected("pefr.repeatability")[name]["s_w"], "s_w");
        expectNear(found.coefficient, expected("pefr.repeatability")[name]["coefficient"], "coefficient");
    }
}

// By hand: 1, 2, 3, 4, 5 all of one sign: 2 of 32 sign sets reach the sum.
TEST(SignFlip, FiveSessionsCanReachNoLowerThanOneSixteenth) {
    const auto flip = agreement::signFlip(std::vector<double>{1, 2, 3, 4, 5});

    EXPECT_DOUBLE_EQ(flip->p, 0.0625);
    EXPECT_DOUBLE_EQ(flip->least, 0.0625);
}

TEST(SignFlip, BeyondTwentyFourSessionsSignsAreDrawn) {
    std::vector<double> differences;
    for (int i = 0; i < 40; ++i)
        differences.push_back(i % 2 == 0 ? 1.0 : -1.0);

    const auto flip = agreement::signFlip(differences);

    EXPECT_FALSE(flip->exact);
    EXPECT_DOUBLE_EQ(flip->p, 1.0);
}

// By hand: 0.01 x 3, 0.02 x 2, 0.04 -> 0.03, 0.04, 0.04; in the order given.
TEST(Holm, AdjustsFromTheSmallestUp) {
    const auto adjusted = agreement::holm(std::vector<double>{0.04, 0.01, 0.02});

    EXPECT_DOUBLE_EQ(adjusted[0], 0.04);
    EXPECT_DOUBLE_EQ(adjusted[1], 0.03);
    EXPECT_DOUBLE_EQ(adjusted[2], 0.04);
}

// By hand: one stratum is Welch itself; two with the same differences and weight 1/2 halve the variance.
TEST(StratifiedWelch, StrataWeighAlike) {
    const agreement::Stratum one{{3, 4, 5}, {1, 2, 3}};
    const std::vector two{one, one};

    const auto single = agreement::welch(one.a, one.b), both = agreement::stratifiedWelch(two);

    EXPECT_DOUBLE_EQ(both->difference, 2.0);
    EXPECT_NEAR(both->standardError, single->standardError / std::sqrt(2.0), 1e-12);
}
