#include "core/trace/pairs.h"

#include <gtest/gtest.h>

using namespace beatwitness;

namespace {

trace::SecondlyRates rates(std::vector<std::int64_t> seconds, double rate_bpm) {
    return {seconds, std::vector<Bpm>(seconds.size(), Bpm{rate_bpm})};
}

trace::SessionSpan span(double begin_s, double end_s) {
    return {sessionTime(begin_s), sessionTime(end_s)};
}

}  // namespace

TEST(PairSeconds, PairsOnlySecondsThatBothHold) {
    const auto pairs = trace::pairSeconds(rates({0, 1, 2, 5}, 150), rates({-1, 1, 2, 3, 5}, 75));

    EXPECT_EQ(pairs.seconds, (std::vector<std::int64_t>{1, 2, 5}));
    EXPECT_EQ(pairs.referenceSeconds, 4u);
    EXPECT_DOUBLE_EQ(pairs.error(0).value, -75);
}

TEST(PairSeconds, ExcludedSecondsLeavePairsAndReferenceAlike) {
    const std::vector excluded{span(3, 4), span(1, 2), span(2, 2.5)};

    const auto pairs =
        trace::pairSeconds(rates({0, 1, 2, 3, 4, 5}, 150), rates({0, 1, 2, 3, 4, 5}, 150), excluded);

    EXPECT_EQ(pairs.seconds, (std::vector<std::int64_t>{0, 5}));
    EXPECT_EQ(pairs.referenceSeconds, 2u);
}

TEST(PairSeconds, BothEndsOfAnExclusionAreOut) {
    const std::vector excluded{span(1, 2)};

    const auto pairs = trace::pairSeconds(rates({0, 1, 2, 3}, 150), rates({0, 1, 2, 3}, 150), excluded);

    EXPECT_EQ(pairs.seconds, (std::vector<std::int64_t>{0, 3}));
}
