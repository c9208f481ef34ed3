// The three real pairs of ../shared/recordings against numbers that another program worked out.

#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "core/analysis/session_analysis.h"
#include "tests/support/shared_files.h"

using namespace beatwitness;

namespace {

/// Printed to four digits there.
constexpr double printed = 6e-5;

class RealPairs : public testing::TestWithParam<const char*> {};

}  // namespace

TEST_P(RealPairs, AgreementAsRecordedIsTheOnePrinted) {
    const auto folder = tests::sharedFile("recordings");
    if (!folder) GTEST_SKIP() << "../shared is not here";
    const auto pair = nlohmann::json::parse(std::ifstream{*folder / "expected.json"})["pairs"][GetParam()];
    const auto& expected = pair["as_recorded_no_flag_excluded"];
    auto reference = recording::readRecordingFile(*folder / pair["reference"].get<std::string>());
    auto test = recording::readRecordingFile(*folder / pair["test"].get<std::string>());
    ASSERT_TRUE(reference && test);

    std::vector<recording::RecordingFile> tests;
    tests.push_back(std::move(*test));
    const auto session = analysis::analyseSession(std::move(*reference), std::move(tests), {},
                                                  {alignment::Method::None, Seconds{0}, false});

    ASSERT_TRUE(session);
    const auto& block = session->tests[0].asRecorded.agreement;
    EXPECT_EQ(block.pairs, expected["pairs"].get<std::size_t>());
    EXPECT_EQ(session->referenceSeconds, expected["ref_seconds"].get<std::size_t>());
    EXPECT_NEAR(block.coverage->value, expected["coverage_pct"], printed);
    EXPECT_NEAR(block.bias->value, expected["bias_bpm"], printed);
    EXPECT_NEAR(block.sd->value, expected["sd_bpm"], printed);
    EXPECT_NEAR(block.mae->value, expected["mae_bpm"], printed);
    EXPECT_NEAR(block.mape->value, expected["mape_pct"], printed);
    EXPECT_NEAR(block.rmse->value, expected["rmse_bpm"], printed);
    // Printed there with 1.96 in place of the contract's z = 1.959963984540054.
    const double roundedZ = 3.6015459946e-5 * block.sd->value;
    EXPECT_NEAR(block.loaLower->value - roundedZ, expected["loa_lower_bpm"], printed);
    EXPECT_NEAR(block.loaUpper->value + roundedZ, expected["loa_upper_bpm"], printed);
    EXPECT_NEAR(*block.pearsonR, expected["pearson_r"], printed);
    EXPECT_NEAR(*block.ccc, expected["ccc"], printed);
    EXPECT_NEAR(block.within5Bpm->value, expected["within_5_bpm_pct"], printed);
    EXPECT_NEAR(block.within10Bpm->value, expected["within_10_bpm_pct"], printed);
    EXPECT_NEAR(block.within10Pct->value, expected["within_10_pct_pct"], printed);
}

INSTANTIATE_TEST_SUITE_P(Recordings, RealPairs, testing::Values("cycling", "run", "strength"),
                         [](const auto& pair) { return std::string{pair.param}; });
