#include <QLabel>
#include <QLineEdit>
#include <QTableView>
#include <QTest>

#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "tests/app/window_fixture.h"
#include "widgets/models/agreement_table_model.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::tests {
namespace {

// By hand: the band writes 80 + k at second k + 5, so at each of the 95 common seconds it reads 5 bpm low;
// with 5 s taken from its clock it reads the same as the strap in all 100.

void typeOffset(app::MainWindow& window, const QString& text) {
    window.commands().typeOffset->trigger();
    auto* edit = window.findChild<QLineEdit*>("offsetEdit");
    edit->selectAll();
    QTest::keyClicks(edit, text);
    QTest::keyClick(edit, Qt::Key_Return);
}

widgets::AgreementTableModel* numbers(app::MainWindow& window) {
    return static_cast<widgets::AgreementTableModel*>(
        window.findChild<QTableView*>("agreementTable")->model());
}

class AlignmentTest : public WindowTest {
protected:
    void openWithTypedOffset() {
        openLatePair();
        typeOffset(*window_, "-5");
        ASSERT_TRUE(waitFor([&] { return window_->document().showsAligned(); }));
    }
};

TEST_F(AlignmentTest, ARefusalSaysWhyAndOffersTheFieldRightThere) {
    openFlatPair();  // 120 bpm throughout: there is nothing to align by

    const auto* refusal = window_->findChild<QLabel*>("refusal");
    EXPECT_TRUE(refusal->isVisible());
    EXPECT_TRUE(refusal->text().startsWith("Not aligned: "));
    EXPECT_TRUE(window_->findChild<QLineEdit*>("offsetEdit")->isVisible());
}

TEST_F(AlignmentTest, ATypedOffsetGivesTheAlignedNumbersBesideTheRecordedOnes) {
    openWithTypedOffset();

    EXPECT_EQ(cell("pairs, s", 0), "95");
    EXPECT_EQ(cell("bias, bpm", 0), QString::fromUtf8("−5.00"));
    EXPECT_EQ(cell("pairs, s", 1), "100");
    EXPECT_EQ(cell("MAE, bpm", 1), "0.00");
}

TEST_F(AlignmentTest, UndoOfATypedOffsetTakesTheAlignmentAway) {
    openWithTypedOffset();

    window_->commands().undo->trigger();

    EXPECT_FALSE(window_->document().showsAligned());
    EXPECT_EQ(cell("MAE, bpm", 1), QString::fromUtf8("—"));
}

TEST_F(AlignmentTest, RedoOfATypedOffsetBringsItBack) {
    openWithTypedOffset();
    window_->commands().undo->trigger();

    window_->commands().redo->trigger();

    EXPECT_EQ(cell("MAE, bpm", 1), "0.00");
}

TEST_F(AlignmentTest, TheKeyAChangesTheColumnInForceAndTheTraces) {
    openWithTypedOffset();
    const int before = numbers(*window_)->shownColumn();
    const bool tracesBefore = window_->sessionPage().timeline().aligned();

    QTest::keyClick(window_.get(), Qt::Key_A);

    EXPECT_EQ(before, 1);
    EXPECT_TRUE(tracesBefore);
    EXPECT_EQ(numbers(*window_)->shownColumn(), 0);
    EXPECT_FALSE(window_->sessionPage().timeline().aligned());
}

TEST_F(AlignmentTest, TheLetterAIsStillALetterInATextField) {
    openWithTypedOffset();
    auto* edit = window_->findChild<QLineEdit*>("offsetEdit");
    edit->setFocus();
    edit->clear();

    QTest::keyClick(edit, Qt::Key_A);

    EXPECT_EQ(edit->text(), "a");
    EXPECT_TRUE(window_->document().showsAligned());
}

TEST_F(AlignmentTest, NoAlignmentLeavesTheClocksAsRecorded) {
    openWithTypedOffset();

    window_->commands().alignNone->trigger();

    ASSERT_TRUE(waitFor([&] { return !window_->document().canShowAligned(); }));
    EXPECT_FALSE(window_->findChild<QLabel*>("refusal")->isVisible());
}

TEST_F(AlignmentTest, TheSummaryInWordsFollowsTheClockShown) {
    openWithTypedOffset();
    const auto* words = window_->findChild<QLabel*>("plainWords");
    const QString aligned = words->text();

    window_->document().setWantsAligned(false);

    EXPECT_TRUE(aligned.contains("neither high nor low")) << aligned.toStdString();
    EXPECT_TRUE(words->text().contains(QString::fromUtf8("5.0\u00A0bpm low on average")))
        << words->text().toStdString();
}

TEST_F(WindowTest, AnOffsetThatIsTypedWhileLookingAtAsRecordedIsShown) {
    openLatePair();
    window_->document().setWantsAligned(false);

    window_->document().align(alignment::Method::Offset, Seconds{-5.0});

    ASSERT_TRUE(waitFor([&] { return window_->document().canShowAligned(); }));
    EXPECT_TRUE(window_->document().showsAligned());
}

}  // namespace
}  // namespace beatwitness::tests
