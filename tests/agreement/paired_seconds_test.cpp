#include "core/agreement/paired_seconds.h"

#include <gtest/gtest.h>

#include "tests/agreement/oracles.h"

using namespace beatwitness;

using ReadingsOracles = tests::Oracles;

TEST_F(ReadingsOracles, AutocorrelatedErrorsAreWorthFewerReadings) {
    std::vector<double> errors;
    for (const auto& row : all()["datasets"]["ar1_series"]["rows"])
        errors.push_back(row);

    const double readings = agreement::independentReadings(errors);

    tests::expectNear(readings, expected("ar1.neff")["n_eff_first_nonpositive_cut"], "readings");
}

TEST(IndependentReadings, AnErrorThatNeverChangesIsOne) {
    EXPECT_EQ(agreement::independentReadings(std::vector<double>(600, 3.0)), 1.0);
}

// By hand: errors +1, -1, +1, -1 have rho_1 = -3/4: nothing is summed.
TEST(IndependentReadings, AlternatingErrorsCountInFull) {
    EXPECT_EQ(agreement::independentReadings({1, -1, 1, -1}), 4.0);
}
