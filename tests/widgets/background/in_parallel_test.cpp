#include "widgets/background/in_parallel.h"

#include <gtest/gtest.h>

#include <atomic>
#include <vector>

namespace beatwitness::widgets {
namespace {

TEST(InParallel, TakesEveryStepOnce) {
    std::vector<std::atomic<int>> taken(1000);

    ASSERT_TRUE(inParallel(taken.size(), [&](std::size_t i) { return ++taken[i] == 1; }));

    for (const auto& times : taken)
        EXPECT_EQ(times, 1);
}

TEST(InParallel, BeginsNoFurtherStepAfterOneThatFailed) {
    std::atomic<int> taken{0};

    const bool good = inParallel(100'000, [&](std::size_t) { return ++taken < 10; });

    EXPECT_FALSE(good);
    EXPECT_LT(taken, 100);
}

}  // namespace
}  // namespace beatwitness::widgets
