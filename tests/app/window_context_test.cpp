// The strip of another channel under the overlay, from the menu and by its key.
#include <QLabel>
#include <QMenu>
#include <QTest>

#include "app/pages/readout_panel.h"
#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "tests/app/window_fixture.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::tests {
namespace {

class ContextStrip : public WindowTest {
protected:
    /// A strap of 300 s that counts 26 strokes a minute, and a band without.
    void openRowingPair() {
        QByteArray strap = "time,hr,cadence\n";
        for (int i = 0; i < 300; ++i)
            strap += QStringLiteral("2031-03-02T09:%1:%2Z,140,26\n")
                         .arg(i / 60, 2, 10, QLatin1Char('0'))
                         .arg(i % 60, 2, 10, QLatin1Char('0'))
                         .toLatin1();
        drop({textFile("strap.csv", strap), recordingFile("band.csv", 300, [](int) { return 137.0; })});
        ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));
    }
    [[nodiscard]] QStringList entries() const {
        QStringList texts;
        for (const auto* action : window_->commands().contextMenu()->actions())
            texts << action->text();
        return texts;
    }
    widgets::TimelineView& timeline() { return window_->sessionPage().timeline(); }
};

TEST_F(ContextStrip, IsOfferedByTheMenuAndShownWithItsValue) {
    openRowingPair();
    ASSERT_EQ(entries(), (QStringList{"None", "cadence, strap"}));

    window_->commands().contextMenu()->actions().at(1)->trigger();
    ASSERT_TRUE(waitFor([&] { return timeline().contextIndex() == 0; }));
    timeline().setCursor(100.0);

    EXPECT_TRUE(window_->commands().contextMenu()->actions().at(1)->isChecked());
    QStringList values;
    for (const auto* label : window_->findChild<app::ReadoutPanel*>()->findChildren<QLabel*>())
        values << label->text();
    EXPECT_TRUE(values.contains("26\u00A0/min")) << values.join('|').toStdString();
}

TEST_F(ContextStrip, IsSteppedThroughByShiftC) {
    openRowingPair();
    window_->activateWindow();
    ASSERT_TRUE(QTest::qWaitForWindowActive(window_.get()));
    const int steps = window_->document().undoStack().count();

    QTest::keyClick(window_.get(), Qt::Key_C, Qt::ShiftModifier);
    EXPECT_EQ(timeline().contextIndex(), 0);
    QTest::keyClick(window_.get(), Qt::Key_C, Qt::ShiftModifier);

    EXPECT_EQ(timeline().contextIndex(), std::nullopt);
    EXPECT_EQ(window_->document().undoStack().count(), steps);
}

TEST_F(ContextStrip, IsNotOfferedWhereNoRecordingHasAChannel) {
    openFlatPair();

    EXPECT_FALSE(window_->commands().contextMenu()->isEnabled());
    EXPECT_FALSE(window_->commands().nextContext->isEnabled());
}

}  // namespace
}  // namespace beatwitness::tests
