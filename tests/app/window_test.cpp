#include <QAccessible>
#include <QApplication>
#include <QClipboard>
#include <QLabel>
#include <QMessageBox>
#include <QTest>

#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "app/windows/role_dialog.h"
#include "tests/app/window_fixture.h"
#include "widgets/inputs/message_banner.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::tests {
namespace {

// By hand: 117 against 120 in all of 400 s is an error of -3 everywhere.
TEST_F(WindowTest, ADroppedPairIsComparedAndItsNumbersShown) {
    openFlatPair();

    EXPECT_EQ(cell("pairs, s", 0), "400");
    EXPECT_EQ(cell("bias, bpm", 0), QString::fromUtf8("−3.00"));
    EXPECT_EQ(cell("MAE, bpm", 0), "3.00");
    EXPECT_EQ(cell("within 5 bpm, %", 0), "100.0");
}

TEST_F(WindowTest, TheRecordingNamedLikeAStrapBecomesTheReference) {
    openFlatPair();

    EXPECT_EQ(window_->findChild<QLabel*>("sessionTitle")->text(), "band against strap");
}

TEST_F(WindowTest, SwappingTheRolesTurnsTheSignOfTheError) {
    openFlatPair();

    window_->commands().swap->trigger();

    ASSERT_TRUE(waitFor([&] { return cell("bias, bpm", 0) == "+3.00"; }));
    EXPECT_EQ(window_->findChild<QLabel*>("sessionTitle")->text(), "strap against band");
}

TEST_F(WindowTest, UndoOfASwapBringsTheFormerNumbersBackAtOnce) {
    openFlatPair();
    window_->commands().swap->trigger();
    ASSERT_TRUE(waitFor([&] { return cell("bias, bpm", 0) == "+3.00"; }));

    window_->commands().undo->trigger();

    EXPECT_EQ(cell("bias, bpm", 0), QString::fromUtf8("−3.00"));
}

TEST_F(WindowTest, AFileThatCannotBeReadIsToldAndTheSessionStays) {
    openFlatPair();
    const auto before = window_->document().analysis();

    drop({textFile("letter.csv", "Dear Sir,\nthis is no recording.\n")});

    ASSERT_TRUE(waitFor([&] { return window_->banner().isVisible(); }));
    EXPECT_TRUE(window_->banner().text().contains("letter.csv")) << window_->banner().text().toStdString();
    EXPECT_TRUE(window_->banner().text().contains("Nothing was changed."));
    EXPECT_EQ(window_->document().analysis(), before);
}

TEST_F(WindowTest, ARecordingWithoutHeartRateDoesNotReplaceTheSession) {
    openFlatPair();
    const auto before = window_->document().analysis();

    drop({recordingFile("strap2.csv", 50, [](int) { return 0.0; }),
          recordingFile("band2.csv", 50, [](int) { return 0.0; })});

    ASSERT_TRUE(waitFor([&] { return window_->banner().isVisible(); }));
    EXPECT_EQ(window_->document().analysis(), before);
}

TEST_F(WindowTest, APairOfWhichOneCannotBeReadChangesNothing) {
    drop({recordingFile("strap.csv", 60, [](int) { return 120.0; }),
          textFile("letter.csv", "Dear Sir,\nno.\n")});

    ASSERT_TRUE(waitFor([&] { return window_->banner().isVisible(); }));
    EXPECT_FALSE(window_->document().hasSession());
    EXPECT_EQ(window_->opening().waiting(), nullptr);
}

TEST_F(WindowTest, AnUnreadableThirdFileIsToldWhileTheOthersAreCompared) {
    drop({recordingFile("strap.csv", 60, [](int) { return 120.0; }),
          textFile("letter.csv", "Dear Sir,\nno.\n"),
          recordingFile("band.csv", 60, [](int) { return 110.0; })});

    ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));
    EXPECT_TRUE(window_->banner().isVisible());
    EXPECT_TRUE(window_->banner().text().contains("letter.csv"));
}

TEST_F(WindowTest, ASingleRecordingWaitsForItsPartner) {
    drop({recordingFile("strap.csv", 60, [](int) { return 120.0; })});
    ASSERT_TRUE(waitFor([&] { return window_->opening().waiting() != nullptr; }));

    drop({recordingFile("band.csv", 60, [](int) { return 110.0; })});

    ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));
    EXPECT_EQ(cell("bias, bpm", 0), QString::fromUtf8("−10.00"));
}

TEST_F(WindowTest, PairsWithoutAClearReferenceAreAskedAbout) {
    drop({recordingFile("one.csv", 60, [](int) { return 120.0; }),
          recordingFile("two.csv", 60, [](int) { return 110.0; })});

    ASSERT_TRUE(waitFor([&] { return window_->findChild<app::RoleDialog*>() != nullptr; }));
    EXPECT_FALSE(window_->document().hasSession());
}

TEST_F(WindowTest, TheRoleDialogIsAnsweredByKeyboard) {
    drop({recordingFile("one.csv", 60, [](int) { return 120.0; }),
          recordingFile("two.csv", 60, [](int) { return 110.0; })});
    ASSERT_TRUE(waitFor([&] { return window_->findChild<app::RoleDialog*>() != nullptr; }));

    QTest::keyClick(window_->findChild<app::RoleDialog*>(), Qt::Key_Return);

    ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));
    EXPECT_EQ(cell("bias, bpm", 0), QString::fromUtf8("−10.00"));
}

TEST_F(WindowTest, OneMoreRecordingCanJoinTheSessionAsAFurtherTest) {
    openFlatPair();
    drop({recordingFile("watch.csv", 400, [](int) { return 121.0; })});
    ASSERT_TRUE(waitFor([&] { return window_->findChild<QMessageBox*>("oneMoreRecording") != nullptr; }));

    QTest::keyClick(window_->findChild<QMessageBox*>("oneMoreRecording"), Qt::Key_Return);

    ASSERT_TRUE(waitFor([&] { return window_->document().analysis()->tests.size() == 2; }));
    EXPECT_EQ(cell("bias, bpm", 2), "+1.00");
    EXPECT_EQ(cell("bias, bpm", 0), QString::fromUtf8("−3.00"));
}

TEST_F(WindowTest, ClearingLeavesTheEmptyPageAndCanBeUndone) {
    openFlatPair();

    window_->commands().clear->trigger();
    const bool cleared = !window_->document().hasSession();
    window_->commands().undo->trigger();

    EXPECT_TRUE(cleared);
    EXPECT_EQ(cell("MAE, bpm", 0), "3.00");
}

TEST_F(WindowTest, CancellingALoadChangesNothing) {
    openFlatPair();
    const auto before = window_->document().analysis();

    window_->commands().swap->trigger();
    window_->document().runner().cancel();
    QTest::qWait(50);

    EXPECT_EQ(window_->document().analysis(), before);
    EXPECT_FALSE(window_->document().runner().busy());
}

TEST_F(WindowTest, TheCursorIsReadOutWithReferenceTestAndError) {
    openFlatPair();

    window_->sessionPage().timeline().setCursor(100.0);

    QStringList words;
    for (const auto* label : window_->sessionPage().findChildren<QLabel*>())
        words << label->text();
    EXPECT_TRUE(words.contains(QString::fromUtf8("120\u00A0bpm"))) << words.join('|').toStdString();
    EXPECT_TRUE(words.contains(QString::fromUtf8("117\u00A0bpm")));
    EXPECT_TRUE(words.contains(QString::fromUtf8("−3\u00A0bpm")));
    EXPECT_TRUE(words.contains("09:01:40 UTC"));
}

TEST_F(WindowTest, NumbersAreCopiedForASpreadsheet) {
    openFlatPair();

    window_->commands().copyNumbers->trigger();

    EXPECT_TRUE(QApplication::clipboard()->text().contains("bias, bpm\t-3.00\t"));
}

TEST_F(WindowTest, F6ReachesThePanesOfThePageOneAfterAnother) {
    openFlatPair();
    QApplication::setActiveWindow(window_.get());
    QWidgetList reached;

    for (int i = 0; i < 4; ++i) {
        window_->commands().nextPane->trigger();
        reached << QApplication::focusWidget();
    }

    EXPECT_NE(reached[0], reached[1]);
    EXPECT_NE(reached[1], reached[2]);
    EXPECT_EQ(reached[0], reached[3]);
}

TEST_F(WindowTest, EveryControlHasANameForScreenReaders) {
    openFlatPair();

    for (const auto* widget : window_->findChildren<QWidget*>()) {
        if (!(widget->focusPolicy() & Qt::TabFocus) || !widget->isVisible()) continue;
        QAccessibleInterface* face = QAccessible::queryAccessibleInterface(const_cast<QWidget*>(widget));
        EXPECT_FALSE(face->text(QAccessible::Name).isEmpty())
            << widget->metaObject()->className() << ' ' << widget->objectName().toStdString();
    }
}

}  // namespace
}  // namespace beatwitness::tests
