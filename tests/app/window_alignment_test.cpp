#include <QApplication>
#include <QLabel>
#include <QLineEdit>
#include <QMouseEvent>
#include <QTableView>
#include <QTest>

#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "app/windows/timeline_commands.h"
#include "tests/app/window_fixture.h"
#include "widgets/models/agreement_table_model.h"
#include "widgets/plots/loss_curve_view.h"
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

/// Three efforts of a minute in 20 min; the band's clock is 5 s ahead.
class HandAlignment : public WindowTest {
protected:
    void SetUp() override {
        const auto efforts = [](int second) {
            const int in = second % 400;
            return in < 100 ? 90.0 : in < 250 ? 90.0 + (in - 100) * 0.5 : 165.0 - (in - 250) * 0.5;
        };
        drop({recordingFile("strap.csv", 1200, efforts), recordingFile("band.csv", 1200, efforts, 5)});
        ASSERT_TRUE(waitFor([&] { return window_->document().canShowAligned(); }));
        QApplication::processEvents();
    }
    widgets::LossCurveView* curve() { return window_->findChild<widgets::LossCurveView*>(); }
    double offset() { return window_->document().test().alignment.correction->offset.value; }
    void dragMarker(double to, bool letGo = true) {
        const QPoint from(qRound(curve()->xOf({offset()})), curve()->height() / 2);
        const QPoint there(qRound(curve()->xOf({to})), curve()->height() / 2);
        QTest::mousePress(curve(), Qt::LeftButton, {}, from);
        QMouseEvent move(QEvent::MouseMove, there, curve()->mapToGlobal(there), Qt::NoButton, Qt::LeftButton,
                         Qt::NoModifier);
        QApplication::sendEvent(curve(), &move);
        if (letGo) QTest::mouseRelease(curve(), Qt::LeftButton, {}, there);
    }
};

TEST_F(HandAlignment, TheMarkerOfTheLossCurveIsTheHandle) {
    dragMarker(3.0);

    ASSERT_TRUE(
        waitFor([&] { return window_->document().test().alignment.method == alignment::Method::Offset; }));
    EXPECT_NEAR(offset(), 3.0, 0.3);
    EXPECT_TRUE(curve()->hasCurve());
}

TEST_F(HandAlignment, TheTraceFollowsWhileTheMarkerIsDraggedAndComesBackByEscape) {
    auto& timeline = window_->sessionPage().timeline();
    timeline.setRange(100, 300);
    QTest::qWait(200);
    const auto before = timeline.grab().toImage();

    dragMarker(20.0, false);
    QTest::qWait(200);
    const auto tried = timeline.grab().toImage();
    QTest::keyClick(curve(), Qt::Key_Escape);
    QTest::qWait(200);

    EXPECT_NE(tried, before);
    EXPECT_EQ(timeline.grab().toImage(), before);
    EXPECT_EQ(window_->document().test().alignment.method, alignment::Method::Auto);
}

TEST_F(HandAlignment, KeysMoveTheMarkerATenthOfASecond) {
    const double before = offset();
    QTest::keyClick(curve(), Qt::Key_Right);
    QTest::keyClick(curve(), Qt::Key_Right);

    QTest::keyClick(curve(), Qt::Key_Return);

    ASSERT_TRUE(
        waitFor([&] { return window_->document().test().alignment.method == alignment::Method::Offset; }));
    EXPECT_NEAR(offset(), before + 0.2, 0.006);
}

TEST_F(HandAlignment, GoesBackToAutomatic) {
    dragMarker(3.0);
    ASSERT_TRUE(
        waitFor([&] { return window_->document().test().alignment.method == alignment::Method::Offset; }));

    window_->commands().alignAuto->trigger();

    ASSERT_TRUE(
        waitFor([&] { return window_->document().test().alignment.method == alignment::Method::Auto; }));
    EXPECT_NEAR(offset(), -5.0, 0.5);
}

// By hand: 1000 ppm over 1000 s is one second.
TEST_F(HandAlignment, ATypedDriftStretchesTheTest) {
    window_->commands().typeOffset->trigger();
    window_->findChild<QLineEdit*>("driftEdit")->setText("1000");
    auto* edit = window_->findChild<QLineEdit*>("offsetEdit");
    edit->setText("-5");
    QTest::keyClick(edit, Qt::Key_Return);

    ASSERT_TRUE(
        waitFor([&] { return window_->document().test().alignment.method == alignment::Method::Offset; }));
    const auto& seconds = window_->document().test().aligned->trace.seconds;
    EXPECT_NEAR(seconds[1000], 1001.0, 1e-6);
}

TEST_F(HandAlignment, ClocksThatShareASourceAreLeftAsTheyAreAndSaySo) {
    window_->timelineCommands().action("sharedClock")->trigger();

    ASSERT_TRUE(
        waitFor([&] { return window_->document().test().alignment.method == alignment::Method::Offset; }));
    EXPECT_EQ(offset(), 0.0);
    QStringList words;
    for (const auto* label : window_->findChildren<QLabel*>())
        words << label->text();
    EXPECT_TRUE(words.join('|').contains("share a source"));
}

// By hand: the event at 100 s of the reference stands at 105 s of the band as recorded.
TEST_F(HandAlignment, AnEventMarkedOnBothGivesTheOffset) {
    window_->document().setWantsAligned(false);
    auto& timeline = window_->sessionPage().timeline();
    timeline.setCursor(100.0);
    window_->timelineCommands().action("eventOnReference")->trigger();
    timeline.setCursor(105.0);
    window_->timelineCommands().action("eventOnTest")->trigger();

    ASSERT_TRUE(
        waitFor([&] { return window_->document().test().alignment.method == alignment::Method::Offset; }));
    EXPECT_EQ(offset(), -5.0);
}

}  // namespace
}  // namespace beatwitness::tests
