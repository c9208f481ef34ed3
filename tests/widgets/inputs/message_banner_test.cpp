#include "widgets/inputs/message_banner.h"

#include <gtest/gtest.h>

#include <QClipboard>
#include <QGuiApplication>
#include <QTest>
#include <QToolButton>

namespace beatwitness::widgets {
namespace {

QToolButton* buttonCalled(const QWidget& parent, const QString& text) {
    for (auto* button : parent.findChildren<QToolButton*>())
        if (button->text() == text) return button;
    return nullptr;
}

TEST(MessageBanner, CopiesItsDetails) {
    MessageBanner banner;
    banner.showMessage(MessageBanner::Tone::Error, "Could not read", "band.csv, line 3",
                       "band.csv, line 3: details");

    QTest::mouseClick(buttonCalled(banner, "Copy details"), Qt::LeftButton);

    EXPECT_EQ(QGuiApplication::clipboard()->text(), "band.csv, line 3: details");
}

TEST(MessageBanner, StaysUntilItIsClosed) {
    MessageBanner banner;
    banner.showMessage(MessageBanner::Tone::Notice, "Stopped", "Nothing was changed.");
    const bool shown = banner.isVisible();

    QTest::mouseClick(buttonCalled(banner, "Close"), Qt::LeftButton);

    EXPECT_TRUE(shown);
    EXPECT_FALSE(banner.isVisible());
}

}  // namespace
}  // namespace beatwitness::widgets
