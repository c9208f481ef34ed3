#include "widgets/models/group_table_model.h"

#include <gtest/gtest.h>

#include <QAbstractItemModelTester>

#include "tests/evaluation/small_evidence.h"

namespace beatwitness::tests {
namespace {

using namespace widgets;

/// Errors of -1, -2 and -3 bpm in three sessions of 60 s each.
std::vector<evaluation::AgreementGroup> groups() {
    std::vector<evaluation::SessionEvidence> all;
    for (const std::int64_t session : {1, 2, 3})
        all.push_back(evidence(session, "band", "ride", std::vector<double>(60, 120.0),
                               std::vector<double>(60, 120.0 - static_cast<double>(session))));
    evaluation::Question question;
    question.clock = evaluation::Clock::Aligned;
    return evaluation::pooledGroups(all, question);
}

int columnOf(const GroupTableModel& model, const QString& name) {
    for (int i = 0; i < model.columnCount(); ++i)
        if (model.headerData(i, Qt::Horizontal, Qt::DisplayRole).toString() == name) return i;
    return -1;
}

TEST(GroupTableModel, IsASoundModel) {
    GroupTableModel model;
    const QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);

    model.setGroups(groups(), false, true);
    model.setGroups(groups(), true, false);

    EXPECT_EQ(model.rowCount(), 1);
}

// By hand: sessions of equal length, means -1, -2, -3: mean -2, s 1, half-width 4.303 / sqrt(3) = 2.484.
TEST(GroupTableModel, ShowsANumberWithItsInterval) {
    GroupTableModel model;
    model.setGroups(groups(), false, true);

    const auto text = model.index(0, columnOf(model, "bias, bpm")).data().toString();

    EXPECT_EQ(text, QString::fromUtf8("−2.00 (−4.48 to +0.48)"));
}

TEST(GroupTableModel, SortsByNumbersAndNotByTheirText) {
    GroupTableModel model;
    model.setGroups(groups(), false, true);

    const auto value = model.index(0, columnOf(model, "pairs")).data(GroupTableModel::SortRole);

    EXPECT_DOUBLE_EQ(value.toDouble(), 180);
}

TEST(GroupTableModel, TellsFormulaSourceAndHowTheIntervalWasMade) {
    GroupTableModel model;
    model.setGroups(groups(), false, true);

    const auto meaning = model.meaningOf(model.index(0, columnOf(model, "MAE, bpm")));

    EXPECT_TRUE(meaning.contains("Formula: mean of |d|"));
    EXPECT_TRUE(meaning.contains("Source: "));
    EXPECT_TRUE(meaning.contains("95 % interval: "));
}

TEST(GroupTableModel, GivesASpreadsheetPlainNumbersWithEndsInColumns) {
    GroupTableModel model;
    model.setGroups(groups(), false, true);

    const auto lines = model.tabSeparated().split('\n');
    const auto heads = lines[0].split('\t'), cells = lines[1].split('\t');

    ASSERT_EQ(heads.size(), cells.size());
    EXPECT_EQ(cells[heads.indexOf("bias, bpm")], "-2");
    EXPECT_NEAR(cells[heads.indexOf("bias, bpm, from")].toDouble(), -2 - 4.302652729696142 / std::sqrt(3.0),
                1e-8);
}

}  // namespace
}  // namespace beatwitness::tests
