#include "widgets/inputs/offset_field.h"

#include <gtest/gtest.h>

#include <QLineEdit>
#include <QPushButton>
#include <QTest>

namespace beatwitness::widgets {
namespace {

struct Typed {
    const char* text;
    double seconds;
};

class ReadableOffset : public ::testing::TestWithParam<Typed> {};

TEST_P(ReadableOffset, IsReadAsItsSeconds) {
    const auto offset = parseOffset(QString::fromUtf8(GetParam().text));

    ASSERT_TRUE(offset) << GetParam().text;
    EXPECT_DOUBLE_EQ(offset->value, GetParam().seconds);
}

// By hand: 1:05.5 is 65.5 s, 2:00:00 is 7200 s.
INSTANTIATE_TEST_SUITE_P(OffsetField, ReadableOffset,
                         ::testing::Values(Typed{"3.4", 3.4}, Typed{"+3,4 s", 3.4}, Typed{"-12", -12.0},
                                           Typed{"\u22120.25", -0.25}, Typed{" -1:05.5 ", -65.5},
                                           Typed{"-2:00:00", -7200.0}, Typed{"90", 90.0}, Typed{".5", 0.5}));

class UnreadableOffset : public ::testing::TestWithParam<const char*> {};

TEST_P(UnreadableOffset, IsNone) {
    const auto offset = parseOffset(QString::fromUtf8(GetParam()));

    EXPECT_FALSE(offset);
}

INSTANTIATE_TEST_SUITE_P(OffsetField, UnreadableOffset,
                         ::testing::Values("", "-", "abc", "1:75", "1.5:00", "1:2:3:4", "--3", "nan", "inf",
                                           "1e99", "3 4", "3s4", "99999999999"));

TEST(OffsetField, AppliesOnlyWhatCanBeRead) {
    OffsetField field;
    auto* edit = field.findChild<QLineEdit*>("offsetEdit");
    auto* apply = field.findChild<QPushButton*>("applyOffset");
    std::vector<double> applied;
    QObject::connect(&field, &OffsetField::offsetTyped,
                     [&](Seconds offset) { applied.push_back(offset.value); });

    QTest::keyClicks(edit, "oops");
    QTest::keyClick(edit, Qt::Key_Return);
    const bool enabledOnNonsense = apply->isEnabled();
    edit->clear();
    QTest::keyClicks(edit, "-1:30");
    QTest::keyClick(edit, Qt::Key_Return);

    EXPECT_FALSE(enabledOnNonsense);
    EXPECT_EQ(applied, std::vector<double>{-90.0});
}

}  // namespace
}  // namespace beatwitness::widgets
