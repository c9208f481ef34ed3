#include "core/agreement/pooled_agreement.h"

#include <gtest/gtest.h>

#include <cmath>

#include "core/agreement/agreement_block.h"
#include "tests/agreement/oracles.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;
using agreement::SessionSums;
using tests::expectInterval;
using tests::expectNear;

using PooledOracles = tests::Oracles;

TEST_F(PooledOracles, TimeWeightedFiguresAreThoseOfAllPairs) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}}) {
        const auto figures = agreement::timeWeighted(sessions("hr_micro", 2, column));

        const auto& pooled = expected(std::string{"hr."} + device + ".pooled");
        expectNear(*figures.bias.value, pooled["bias"], "bias");
        expectNear(*figures.sd.value, pooled["sd_diff"], "sd");
        expectNear(*figures.mae.value, pooled["mae"], "mae");
        expectNear(*figures.mape.value, pooled["mape_pct"], "mape");
        expectNear(*figures.rmse.value, pooled["rmse"], "rmse");
        expectNear(*figures.pearsonR.value, pooled["pearson_r"], "r");
        expectNear(*figures.ccc.value, expected(std::string{"hr."} + device + ".ccc_point")["ccc"], "ccc");
    }
}

TEST_F(PooledOracles, MeanAbsoluteErrorHasItsIntervalOnTheLogScale) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}}) {
        const auto figures = agreement::timeWeighted(sessions("hr_micro", 2, column));

        ASSERT_TRUE(figures.mae.ci95);
        expectInterval(*figures.mae.ci95,
                       expected(std::string{"hr."} + device + ".mae_ratio_cluster_log_t")["ci_log_t"]);
    }
}

TEST_F(PooledOracles, SharesUseTheClusteredRatioClippedToWhatAShareCanBe) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}}) {
        const auto figures = agreement::timeWeighted(sessions("hr_micro", 2, column));

        for (const auto& [name, figure] :
             {std::pair{"share_within_5bpm", &figures.within5Bpm},
              std::pair{"share_within_10bpm", &figures.within10Bpm},
              std::pair{"share_within_10pct", &figures.within10Pct},
              std::pair{"share_within_5bpm_or_10pct", &figures.within5BpmOr10Pct}}) {
            const auto& oracle = expected(std::string{"hr."} + device + "." + name + "_cluster_t");
            expectNear(*figure->value, 100 * oracle["estimate"].get<double>(), name);
            if (!oracle.contains("ci_t") || oracle["se_linearised"].get<double>() == 0) continue;
            ASSERT_TRUE(figure->ci95) << name;
            expectNear(figure->ci95->lower, std::max(0.0, 100 * oracle["ci_t"][0].get<double>()), name);
            expectNear(figure->ci95->upper, std::min(100.0, 100 * oracle["ci_t"][1].get<double>()), name);
        }
    }
}

TEST_F(PooledOracles, SessionWeightedBiasIsTOverSessionMeans) {
    for (const auto& [device, column] : {std::pair{"A", 3u}, std::pair{"B", 4u}}) {
        const auto figures = agreement::sessionWeighted(sessions("hr_micro", 2, column));

        const auto& oracle = expected(std::string{"hr."} + device + ".bias_mean_of_session_means_t");
        expectNear(*figures.bias.value, oracle["mean"], "bias");
        ASSERT_TRUE(figures.bias.ci95);
        expectInterval(*figures.bias.ci95, oracle["ci_t"]);
    }
}

TEST_F(PooledOracles, IntraclassCorrelationIsThatOfThePublishedData) {
    const auto pefr = agreement::sumsOf(pairs("pefr", 2, 0));

    const auto& oracle = expected("pefr.icc_wright1_mini1");

    const auto key = oracle.contains("icc_2_1") ? "icc_2_1" : "icc21";
    ASSERT_TRUE(oracle.contains(key)) << oracle.dump();
    expectNear(*agreement::iccOf(pefr), oracle[key].is_object() ? oracle[key]["value"] : oracle[key], "icc");
}

TEST(PooledAgreement, OneSessionGivesNoInterval) {
    const std::vector sessions{agreement::sumsOf(tests::pairsOf({100, 110, 120}, {101, 112, 119}))};

    const auto figures = agreement::timeWeighted(sessions);

    EXPECT_NEAR(*figures.bias.value, 2.0 / 3, 1e-12);
    EXPECT_FALSE(figures.bias.ci95);
    EXPECT_FALSE(figures.within5Bpm.ci95);
}

TEST(PooledAgreement, SaysWhereSessionsAreVeryFew) {
    const std::vector sessions(2, agreement::sumsOf(tests::pairsOf({100, 110, 120}, {101, 118, 119})));

    EXPECT_NE(agreement::timeWeighted(sessions).bias.method.find("very few sessions"), std::string::npos);
}

// Wilson with x = n = 6: lower end n / (n + z^2) = 0.6096657120978253.
TEST(PooledAgreement, AShareThatIsWholeInEverySessionGetsWilsonOverSessions) {
    const std::vector sessions(6, agreement::sumsOf(tests::pairsOf({100, 110}, {101, 112})));

    const auto figure = agreement::timeWeighted(sessions).within5Bpm;

    EXPECT_EQ(*figure.value, 100);
    EXPECT_NEAR(figure.ci95->lower, 60.96657120978253, 1e-9);
    EXPECT_EQ(figure.ci95->upper, 100);
}

TEST(PooledAgreement, ASessionWithoutPairsDoesNotCount) {
    std::vector sessions(3, agreement::sumsOf(tests::pairsOf({100, 110, 120}, {101, 118, 119})));
    const auto before = agreement::sessionWeighted(sessions);
    sessions.emplace_back();

    const auto after = agreement::sessionWeighted(sessions);

    EXPECT_EQ(before.mae.value, after.mae.value);
    EXPECT_EQ(before.bias.method, after.bias.method);
}

TEST(SessionSums, FiguresOfOneSessionAreThoseOfTheBlock) {
    const auto pairs = tests::pairsOf({100, 132, 171, 95, 60}, {98, 140, 86, 95, 66});

    const auto sums = agreement::sumsOf(pairs);
    const auto block = agreement::agreementOf(pairs);

    EXPECT_NEAR(*agreement::sdOf(sums), block.sd->value, 1e-9);
    EXPECT_NEAR(*agreement::rmseOf(sums), block.rmse->value, 1e-9);
    EXPECT_NEAR(*agreement::pearsonOf(sums), *block.pearsonR, 1e-9);
    EXPECT_NEAR(*agreement::cccOf(sums), *block.ccc, 1e-9);
}

TEST(PooledAgreement, FewerThanSixSessionsGetNoBootstrap) {
    const std::vector sessions(5, agreement::sumsOf(tests::pairsOf({100, 110, 120}, {101, 118, 119})));

    const auto figures = agreement::timeWeighted(sessions);

    EXPECT_FALSE(figures.ccc.ci95);
    EXPECT_NE(figures.ccc.method.find("a bootstrap needs 6"), std::string::npos) << figures.ccc.method;
    EXPECT_TRUE(figures.mae.ci95);
}

// By hand: errors 1 and 3 in wearer one, 5 in wearer two: sessions (1+3+5)/3 = 3, wearers (2+5)/2 = 3.5.
TEST(PooledAgreement, AWearersSessionsCountAsOneUnit) {
    const auto session = [](double error) {
        return agreement::sumsOf(tests::pairsOf({100, 110}, {100 + error, 110 + error}));
    };
    agreement::SamplingUnits wearers;
    wearers.name = "wearers";
    wearers.units = {{session(1), session(3)}, {session(5)}};

    const auto bias = agreement::sessionWeighted(wearers).bias;

    EXPECT_NEAR(*bias.value, 3.5, 1e-12);
    EXPECT_NE(bias.method.find("t over wearers, 1 df"), std::string::npos) << bias.method;
}

TEST(PooledAgreement, ShiftedErrorsShiftTheBiasAndItsInterval) {
    std::vector<SessionSums> sessions, shifted;
    for (int i = 0; i < 7; ++i) {
        const double e = std::sin(i);
        sessions.push_back(agreement::sumsOf(tests::pairsOf({100, 120, 90}, {100 + e, 121 + e, 90})));
        shifted.push_back(agreement::sumsOf(tests::pairsOf({100, 120, 90}, {102.5 + e, 123.5 + e, 92.5})));
    }

    const auto before = agreement::timeWeighted(sessions).bias, after = agreement::timeWeighted(shifted).bias;

    EXPECT_NEAR(*after.value, *before.value + 2.5, 1e-12);
    EXPECT_NEAR(after.ci95->lower, before.ci95->lower + 2.5, 1e-12);
    EXPECT_NEAR(after.ci95->upper, before.ci95->upper + 2.5, 1e-12);
}

TEST(PooledAgreement, ConfidenceWidensTheIntervalOfACriterion) {
    std::vector<SessionSums> sessions;
    for (int i = 0; i < 8; ++i)
        sessions.push_back(agreement::sumsOf(tests::pairsOf({100, 120}, {101.0 + i, 118.0 + i})));
    const agreement::SamplingUnits units{sessions};

    const auto sure = agreement::timeWeightedFigure(units, agreement::Metric::Mape, 0.99),
               less = agreement::timeWeightedFigure(units, agreement::Metric::Mape, 0.90);

    EXPECT_LT(sure.ci95->lower, less.ci95->lower);
    EXPECT_GT(sure.ci95->upper, less.ci95->upper);
}
