#include "core/agreement/pooled_agreement.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>

#include "core/agreement/agreement_block.h"
#include "tests/support/shared_files.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;
using agreement::SessionSums;
using nlohmann::json;

namespace {

class PooledOracles : public testing::Test {
protected:
    void SetUp() override {
        const auto path = tests::sharedFile("oracles.json");
        if (!path) GTEST_SKIP() << "../shared is not here";
        all_ = json::parse(std::ifstream{*path});
    }

    const json& expected(const std::string& id) {
        for (const auto& one : all_["cases"])
            if (one["id"] == id) return one["expected"];
        throw std::runtime_error{"no oracle " + id};
    }

    /// Columns of a dataset as sessions: `test` minus `reference`, grouped by the first column.
    std::vector<SessionSums> sessions(const std::string& dataset, std::size_t reference, std::size_t test) {
        std::map<int, std::pair<std::vector<double>, std::vector<double>>> groups;
        for (const auto& row : all_["datasets"][dataset]["rows"]) {
            groups[row[0]].first.push_back(row[reference]);
            groups[row[0]].second.push_back(row[test]);
        }
        std::vector<SessionSums> sums;
        for (const auto& [session, columns] : groups)
            sums.push_back(agreement::sumsOf(tests::pairsOf(columns.first, columns.second)));
        return sums;
    }

    json all_;
};

void expectNear(double found, double expected, const char* what) {
    EXPECT_NEAR(found, expected, std::max(1e-10, 1e-8 * std::abs(expected))) << what;
}

void expectInterval(const agreement::PooledFigure& figure, const json& interval, double scale = 1.0) {
    ASSERT_TRUE(figure.ci95) << figure.method;
    expectNear(figure.ci95->lower, std::max(-1e9, scale * interval[0].get<double>()), "lower");
    expectNear(figure.ci95->upper, scale * interval[1].get<double>(), "upper");
}

}  // namespace

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

        expectInterval(figures.mae,
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
        expectInterval(figures.bias, oracle["ci_t"]);
    }
}

TEST_F(PooledOracles, IntraclassCorrelationIsThatOfThePublishedData) {
    const auto pefr = [&] {
        std::vector<double> wright, mini;
        for (const auto& row : all_["datasets"]["pefr"]["rows"]) {
            wright.push_back(row[0]);
            mini.push_back(row[2]);
        }
        return agreement::sumsOf(tests::pairsOf(mini, wright));
    }();

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
