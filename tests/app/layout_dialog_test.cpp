#include "app/windows/layout_dialog.h"

#include <QComboBox>
#include <QLabel>
#include <QPushButton>
#include <QTableWidget>
#include <QTest>

#include "app/windows/commands.h"
#include "tests/app/window_fixture.h"

namespace beatwitness::tests {
namespace {

using namespace app;

class LayoutDialogTest : public WindowTest {
protected:
    /// Two columns that both may be the heart rate; the reader takes the first.
    QString twoRates() {
        QByteArray text = "time,hr,pulse\n";
        for (int i = 0; i < 120; ++i)
            text += QByteArray::number(1930380000 + i) + ",120," + QByteArray::number(90) + "\n";
        return textFile("two-rates.csv", text);
    }
    bool settled(LayoutDialog& dialog) {
        return waitFor([&] { return dialog.result() != nullptr; });
    }
    static void choose(LayoutDialog& dialog, const char* box, int index) {
        dialog.findChild<QComboBox*>(box)->setCurrentIndex(index);
    }
    static double firstRate(const LayoutDialog& dialog) {
        return dialog.result()->read.recording.channel(recording::ChannelKind::HeartRate)->values.front();
    }
};

TEST_F(LayoutDialogTest, ShowsTheHeaderAndTheFirstRows) {
    LayoutDialog dialog(twoRates().toStdString(), {});

    ASSERT_TRUE(settled(dialog));

    const auto* table = dialog.findChild<QTableWidget*>("firstRows");
    EXPECT_EQ(table->horizontalHeaderItem(2)->text(), "pulse");
    EXPECT_EQ(table->item(0, 2)->text(), "90");
}

TEST_F(LayoutDialogTest, AnotherRateColumnIsReadAtOnce) {
    LayoutDialog dialog(twoRates().toStdString(), {});
    ASSERT_TRUE(settled(dialog));

    choose(dialog, "rateColumn", 3);

    ASSERT_TRUE(settled(dialog));
    EXPECT_EQ(firstRate(dialog), 90.0);
    EXPECT_EQ(dialog.options().rateColumn, "3");
}

TEST_F(LayoutDialogTest, WhatCannotBeReadIsSaidAndCannotBeTaken) {
    LayoutDialog dialog(twoRates().toStdString(), {});
    ASSERT_TRUE(settled(dialog));

    dialog.findChild<QComboBox*>("zone")->setEditText("nowhere");

    auto* outcome = dialog.findChild<QLabel*>("layoutOutcome");
    ASSERT_TRUE(waitFor([&] { return outcome->text() == "It cannot be read so"; }));
    EXPECT_FALSE(dialog.findChild<QPushButton*>("readSo")->isEnabled());
}

TEST_F(LayoutDialogTest, AnotherSeparatorPartsTheRowsAnew) {
    LayoutDialog dialog(twoRates().toStdString(), {});
    ASSERT_TRUE(settled(dialog));

    choose(dialog, "separator", 2);  // semicolon

    EXPECT_EQ(dialog.findChild<QTableWidget*>("firstRows")->columnCount(), 1);
}

TEST_F(LayoutDialogTest, FromTheRecordingsPanelItChangesTheSessionAndUndoTakesItBack) {
    drop({recordingFile("strap.csv", 400, [](int) { return 120.0; }), twoRates()});
    if (!waitFor([&] { return window_->document().hasSession(); })) {
        // No clear pair in time: asked for the roles, which is not what is tested here.
        window_->opening().openByRole(
            {folder_.filePath("strap.csv"), {folder_.filePath("two-rates.csv")}, {}});
        ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));
    }
    auto buttons = window_->findChildren<QPushButton*>("readAsButton");
    ASSERT_EQ(buttons.size(), 2);
    const auto rate = [&] {
        return window_->document()
            .plan()
            .tests[0]
            .file->recording.channel(recording::ChannelKind::HeartRate)
            ->values[0];
    };

    buttons[1]->click();
    LayoutDialog* dialog = nullptr;
    ASSERT_TRUE(waitFor([&] { return (dialog = window_->findChild<LayoutDialog*>()) && dialog->result(); }));
    choose(*dialog, "rateColumn", 3);
    ASSERT_TRUE(settled(*dialog));
    dialog->accept();
    ASSERT_TRUE(waitFor([&] { return rate() == 90.0; }));
    window_->commands().undo->trigger();

    EXPECT_EQ(rate(), 120.0);
}

}  // namespace
}  // namespace beatwitness::tests
