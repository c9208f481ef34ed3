#include "widgets/models/agreement_table_model.h"

#include <gtest/gtest.h>

#include <QAbstractItemModelTester>

#include "tests/widgets/models/small_session.h"

namespace beatwitness::widgets {
namespace {

using tests::smallSession;

int rowCalled(const AgreementTableModel& model, const QString& name) {
    for (int row = 0; row < model.rowCount(); ++row)
        if (model.headerData(row, Qt::Vertical, Qt::DisplayRole).toString() == name) return row;
    return -1;
}

QString cell(const AgreementTableModel& model, const QString& name, int column) {
    return model.data(model.index(rowCalled(model, name), column), Qt::DisplayRole).toString();
}

TEST(AgreementTableModel, KeepsTheRulesOfModelsWhileSessionsComeAndGo) {
    AgreementTableModel model;
    const QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);

    model.setSession(smallSession(true));
    model.setShown(0, true);
    model.setSession(nullptr);

    EXPECT_EQ(model.rowCount(), 0);
}

TEST(AgreementTableModel, ShowsRoundedNumbersWithATrueMinus) {
    AgreementTableModel model;

    model.setSession(smallSession(true));

    EXPECT_EQ(cell(model, "bias, bpm", 0), QString::fromUtf8("−3.14"));
    EXPECT_EQ(cell(model, "bias, bpm", 1), "+0.50");
}

TEST(AgreementTableModel, ShowsAbsentNumbersAsADash) {
    AgreementTableModel model;

    model.setSession(smallSession(false));

    EXPECT_EQ(cell(model, "bias, bpm", 1), QString::fromUtf8("—"));
    EXPECT_EQ(cell(model, "RMSE, bpm", 0), QString::fromUtf8("—"));
}

TEST(AgreementTableModel, SetsTheColumnInForceApartByWeightToo) {
    AgreementTableModel model;
    model.setSession(smallSession(true));

    model.setShown(0, true);

    EXPECT_EQ(model.shownColumn(), 1);
    EXPECT_TRUE(model.data(model.index(0, 1), Qt::FontRole).isValid());
    EXPECT_FALSE(model.data(model.index(0, 0), Qt::FontRole).isValid());
}

TEST(AgreementTableModel, CopiesNumbersThatASpreadsheetReads) {
    AgreementTableModel model;
    model.setSession(smallSession(true));

    const QString text = model.tabSeparated({rowCalled(model, "bias, bpm")}, {});

    EXPECT_EQ(text, "\tas recorded\taligned\nbias, bpm\t-3.14\t+0.50\n");
}

TEST(AgreementTableModel, DefinesEveryRow) {
    AgreementTableModel model;
    model.setSession(smallSession(true));

    for (int row = 0; row < model.rowCount(); ++row)
        EXPECT_FALSE(model.headerData(row, Qt::Vertical, Qt::ToolTipRole).toString().isEmpty()) << row;
}

}  // namespace
}  // namespace beatwitness::widgets
