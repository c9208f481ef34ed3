#include "core/foundation/fault.h"

#include <gtest/gtest.h>

#include "core/foundation/result.h"

using namespace beatwitness;

TEST(Fault, SentenceNamesFileLineAndExpectation) {
    const Fault fault{FaultCode::NoTimeColumn, "expected a time, found \"abc\"", "strap.csv", {}, 3};

    EXPECT_EQ(sentence(fault), "strap.csv, line 3: expected a time, found \"abc\".");
}

TEST(Fault, SentenceNamesTheByteWhereThereIsNoFile) {
    const Fault fault{FaultCode::Damaged, "the header is cut short", {}, 12, {}};

    EXPECT_EQ(sentence(fault), "byte 12: the header is cut short.");
}

TEST(Fault, SentenceEndsWithOneStop) {
    const Fault fault{FaultCode::Empty, "the file is empty.", "a.fit", {}, {}};

    EXPECT_EQ(sentence(fault), "a.fit: the file is empty.");
}

TEST(Result, HoldsAValueOrAFault) {
    const Result<int> value{7};
    const Result<int> fault{Fault{FaultCode::Empty, "nothing", {}, {}, {}}};

    ASSERT_TRUE(value);
    EXPECT_EQ(*value, 7);
    ASSERT_FALSE(fault);
    EXPECT_EQ(fault.fault().code, FaultCode::Empty);
}
