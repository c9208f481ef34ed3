#include "widgets/models/flag_list_model.h"

#include <gtest/gtest.h>

#include <QAbstractItemModelTester>

#include "tests/widgets/models/small_session.h"

namespace beatwitness::widgets {
namespace {

using tests::smallSession;

TEST(FlagListModel, KeepsTheRulesOfModelsWhileSessionsComeAndGo) {
    FlagListModel model;
    const QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);

    model.setSession(smallSession(true), 0);
    model.setSession(nullptr, 0);

    EXPECT_EQ(model.rowCount(), 0);
}

TEST(FlagListModel, SaysWhatWhoseWhereAndHowLong) {
    FlagListModel model;

    model.setSession(smallSession(true), 0);

    // By hand: 62 s is 01:02, 101 s is 01:41.
    EXPECT_EQ(model.data(model.index(0), Qt::DisplayRole).toString(),
              QString::fromUtf8("dropout · band, 01:02 to 01:41, 40\u00A0s"));
    EXPECT_EQ(model.data(model.index(0), FlagListModel::CodeRole).toString(), "OUT");
}

TEST(FlagListModel, FindsTheFlagUnderASecond) {
    FlagListModel model;

    model.setSession(smallSession(true), 0);

    EXPECT_EQ(model.rowAt(62.0), 0);
    EXPECT_EQ(model.rowAt(61.0), -1);
}

}  // namespace
}  // namespace beatwitness::widgets
