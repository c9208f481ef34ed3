#include "core/foundation/units.h"

#include <gtest/gtest.h>

#include "core/foundation/clocks.h"

using namespace beatwitness;

template <class A, class B>
concept Addable = requires(A a, B b) {
    a + b;
};
template <class A, class B>
concept Subtractable = requires(A a, B b) {
    a - b;
};

TEST(Units, TwoHeartRatesDoNotAdd) {
    static_assert(!Addable<Bpm, Bpm>);
    static_assert(Addable<Bpm, BpmDelta>);

    EXPECT_DOUBLE_EQ((Bpm{76} - Bpm{151}).value, -75);
}

TEST(Clocks, TimesOfTwoClocksDoNotSubtract) {
    static_assert(!Subtractable<TestTime, SessionTime>);
    static_assert(!Subtractable<TestTime, ReferenceTime>);

    EXPECT_EQ((TestTime{Micros{5}} - TestTime{Micros{2}}).count(), 3);
}

TEST(Clocks, SecondsRoundToTheNearestMicrosecond) {
    EXPECT_EQ(toMicros(Seconds{0.0000015}).count(), 2);
    EXPECT_EQ(toMicros(Seconds{-0.0000015}).count(), -2);
    EXPECT_DOUBLE_EQ(toSeconds(Micros{1'500'000}).value, 1.5);
}
