#include "core/agreement/agreement_block.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <random>

#include "tests/support/shared_files.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;
using nlohmann::json;

namespace {

json oracles() {
    const auto path = tests::sharedFile("oracles.json");
    return path ? json::parse(std::ifstream{*path}) : json{};
}

const json& oracleCase(const json& all, const std::string& id) {
    for (const auto& one : all["cases"])
        if (one["id"] == id) return one;
    throw std::runtime_error{"no oracle " + id};
}

const json& edge(const json& all, const std::string& id) {
    for (const auto& one : all["edge_cases"])
        if (one["id"] == id) return one;
    throw std::runtime_error{"no edge case " + id};
}

/// Columns of a dataset as pairs: `test` minus `reference`.
trace::Pairs columns(const json& dataset, std::size_t reference, std::size_t test) {
    std::vector<double> r, t;
    for (const auto& row : dataset["rows"]) {
        r.push_back(row[reference]);
        t.push_back(row[test]);
    }
    return tests::pairsOf(r, t);
}

void expectNear(double found, double expected, const char* what) {
    EXPECT_NEAR(found, expected, std::max(1e-10, 1e-8 * std::abs(expected))) << what;
}

void expectSimple(const agreement::AgreementBlock& block, const json& expected) {
    EXPECT_EQ(block.pairs, expected["n"].get<std::size_t>());
    expectNear(block.bias->value, expected["bias"], "bias");
    expectNear(block.sd->value, expected["sd_diff"], "sd");
    expectNear(block.mae->value, expected["mae"], "mae");
    expectNear(block.mape->value, expected["mape_pct"], "mape");
    expectNear(block.rmse->value, expected["rmse"], "rmse");
    expectNear(*block.pearsonR, expected["pearson_r"], "r");
    expectNear(block.loaLower->value, expected["loa95"][0], "lower limit");
    expectNear(block.loaUpper->value, expected["loa95"][1], "upper limit");
}

trace::Pairs edgePairs(const json& one) {
    return tests::pairsOf(one["input"]["ref"], one["input"]["dev"]);
}

}  // namespace

TEST(AgreementBlock, EqualsThePublishedPeakFlowExample) {
    const auto all = oracles();
    if (all.is_null()) GTEST_SKIP() << "../shared is not here";

    const auto block = agreement::agreementOf(columns(all["datasets"]["pefr"], 2, 0));

    expectSimple(block, oracleCase(all, "pefr.simple_wright1_minus_mini1")["expected"]);
}

TEST(AgreementBlock, EqualsThePublishedMilkFatExample) {
    const auto all = oracles();
    if (all.is_null()) GTEST_SKIP() << "../shared is not here";

    const auto block = agreement::agreementOf(columns(all["datasets"]["milk_fat"], 1, 0));

    expectSimple(block, oracleCase(all, "milk.simple")["expected"]);
}

TEST(AgreementBlock, ConcordanceUsesPopulationMoments) {
    const auto all = oracles();
    if (all.is_null()) GTEST_SKIP() << "../shared is not here";

    for (const auto& [id, dataset, reference] :
         {std::tuple{"pefr.ccc_wright1_mini1", "pefr", 2}, std::tuple{"milk.ccc", "milk_fat", 1}}) {
        const auto block = agreement::agreementOf(columns(all["datasets"][dataset], reference, 0));

        expectNear(*block.ccc, oracleCase(all, id)["expected"]["ccc"], id);
    }
}

TEST(AgreementBlock, KeepsToTheEdgeCasesOfTheOracles) {
    const auto all = oracles();
    if (all.is_null()) GTEST_SKIP() << "../shared is not here";

    const auto constant = agreement::agreementOf(edgePairs(edge(all, "edge.constant_difference")));
    EXPECT_EQ(constant.sd->value, 0.0);
    EXPECT_EQ(constant.loaUpper->value, 3.0);
    EXPECT_NEAR(*constant.pearsonR, 1.0, 1e-12);
    EXPECT_NEAR(*constant.ccc, 0.9910802775024777, 1e-12);

    const auto flat = agreement::agreementOf(edgePairs(edge(all, "edge.constant_reference")));
    EXPECT_FALSE(flat.pearsonR) << "r of a constant reference is not available, not 0";
    EXPECT_NEAR(*flat.ccc, 0.0, 1e-12);
    EXPECT_NEAR(flat.mape->value, 1.6666666666666667, 1e-12);

    const auto one = agreement::agreementOf(edgePairs(edge(all, "edge.n1")));
    EXPECT_EQ(one.bias->value, 4.0);
    EXPECT_FALSE(one.sd);
    EXPECT_FALSE(one.loaLower);

    const auto two = agreement::agreementOf(edgePairs(edge(all, "edge.n2")));
    EXPECT_NEAR(two.sd->value, 3.5355339059327378, 1e-12);
    EXPECT_NEAR(two.loaUpper->value, 8.429519121748388, 1e-12);
    EXPECT_FALSE(two.pearsonR) << "r = +-1 mechanically with two pairs: not shown";
}

TEST(AgreementBlock, OffersNothingWithoutPairs) {
    trace::Pairs none;
    none.referenceSeconds = 5;

    const auto block = agreement::agreementOf(none);

    EXPECT_EQ(block.coverage->value, 0.0);
    EXPECT_FALSE(block.bias);
    EXPECT_FALSE(block.mae);
    EXPECT_FALSE(block.within5Bpm);
}

// By hand: errors -5, 5, 10, -10.5 on references 100, 60, 100, 200.
TEST(AgreementBlock, TolerancesAreInclusive) {
    const auto block = agreement::agreementOf(tests::pairsOf({100, 60, 100, 200}, {95, 65, 110, 189.5}));

    EXPECT_DOUBLE_EQ(block.within5Bpm->value, 50);
    EXPECT_DOUBLE_EQ(block.within10Bpm->value, 75);
    EXPECT_DOUBLE_EQ(block.within10Pct->value, 100);
}

// By hand: ratios 0.45, 0.55, 0.449, 0.551.
TEST(AgreementBlock, HalfRateTakesBothEndsOfItsBand) {
    const auto block = agreement::agreementOf(tests::pairsOf({100, 100, 100, 100}, {45, 55, 44.9, 55.1}));

    EXPECT_DOUBLE_EQ(block.halfRate->value, 50);
}

TEST(AgreementBlock, BiasFollowsAShiftOfTheErrorsAndSpreadDoesNot) {
    std::mt19937_64 random{7};
    for (int round = 0; round < 50; ++round) {
        std::vector<double> reference, test, shifted;
        for (int i = 0; i < 300; ++i) {
            reference.push_back(60 + static_cast<double>(random() % 1200) / 10);
            test.push_back(reference.back() + static_cast<double>(random() % 200) / 10 - 10);
            shifted.push_back(test.back() + 7);
        }

        const auto before = agreement::agreementOf(tests::pairsOf(reference, test));
        const auto after = agreement::agreementOf(tests::pairsOf(reference, shifted));

        EXPECT_NEAR(after.bias->value - before.bias->value, 7, 1e-9);
        EXPECT_NEAR(after.sd->value, before.sd->value, 1e-9);
        const double n = 300;
        EXPECT_NEAR(std::pow(before.rmse->value, 2),
                    std::pow(before.bias->value, 2) + std::pow(before.sd->value, 2) * (n - 1) / n, 1e-8);
    }
}
