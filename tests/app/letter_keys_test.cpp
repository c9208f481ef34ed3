// Bare letters act in the window, and only there.
#include <QApplication>
#include <QDialog>
#include <QMenu>
#include <QMenuBar>
#include <QTest>

#include "app/windows/commands.h"
#include "tests/app/window_fixture.h"

namespace beatwitness::tests {
namespace {

class LetterKeys : public WindowTest {
protected:
    void SetUp() override {
        openLatePair();
        window_->document().align(alignment::Method::Offset, Seconds{-5.0});
        ASSERT_TRUE(waitFor([&] { return window_->document().canShowAligned(); }));
        window_->activateWindow();
        ASSERT_TRUE(QTest::qWaitForWindowActive(window_.get()));
        ASSERT_TRUE(window_->document().showsAligned());
    }
};

TEST_F(LetterKeys, ASwitchesTheClock) {
    QTest::keyClick(window_.get(), Qt::Key_A);

    EXPECT_FALSE(window_->document().showsAligned());
}

TEST_F(LetterKeys, ADoesNothingWhileADialogIsOpen) {
    window_->commands().about->trigger();
    auto* dialog = window_->findChild<QDialog*>("aboutSheet");
    ASSERT_TRUE(QTest::qWaitForWindowActive(dialog));

    QTest::keyClick(dialog, Qt::Key_A);

    EXPECT_TRUE(window_->document().showsAligned());
}

TEST_F(LetterKeys, ADoesNothingToTheClockWhileAMenuIsOpen) {
    auto* menu = window_->findChild<QMenuBar*>()->actions().front()->menu();
    menu->popup(window_->mapToGlobal(QPoint(20, 40)));
    ASSERT_TRUE(waitFor([&] { return QApplication::activePopupWidget() == menu; }));

    QTest::keyClick(menu, Qt::Key_A);

    EXPECT_TRUE(window_->document().showsAligned());
}

}  // namespace
}  // namespace beatwitness::tests
