// The import through the window: dropped files, corrections by keyboard, what is stored and what undo does.

#include "app/windows/import_dialog.h"

#include <QAbstractItemModelTester>
#include <QComboBox>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalSpy>
#include <QTest>
#include <QTreeView>
#include <cmath>

#include "app/windows/commands.h"
#include "app/windows/importing.h"
#include "tests/app/window_fixture.h"
#include "widgets/inputs/message_banner.h"

namespace beatwitness::tests {
namespace {

using namespace app;

constexpr int day_s = 86400;

class ImportDialogTest : public WindowTest {
protected:
    void SetUp() override {
        window_->library().create(folder_.filePath("harbour.library"));
        ASSERT_TRUE(waitFor([&] { return window_->library().isOpen(); }));
    }

    QString recording(const QString& name, int late_s, int seconds = 900) {
        const double lean = name.contains("strap") ? 0.0 : 3.0;
        return recordingFile(
            name, seconds,
            [lean](int i) { return std::round(120 + 20 * std::sin(i / 40.0) + lean * std::sin(i * 1.7)); },
            late_s);
    }
    QStringList twoPairs() {
        return {recording("strap-a.csv", 0), recording("band-a.csv", 3), recording("strap-b.csv", day_s),
                recording("band-b.csv", day_s + 2)};
    }
    ImportDialog* dropAndWait(const QStringList& paths) {
        drop(paths);
        ImportDialog* dialog = nullptr;
        EXPECT_TRUE(waitFor([&] {
            dialog = window_->findChild<ImportDialog*>();
            return dialog && !dialog->isReading();
        }));
        return dialog;
    }
    /// F2, text, Enter in the cell at hand.
    static void type(ImportDialog& dialog, const QString& text) {
        auto& tree = dialog.tree();
        QTest::keyClick(&tree, Qt::Key_F2);
        auto* editor = tree.viewport()->findChild<QLineEdit*>();
        ASSERT_TRUE(editor);
        editor->selectAll();
        QTest::keyClicks(editor, text);
        QTest::keyClick(editor, Qt::Key_Return);
        QCoreApplication::processEvents();  // views take an editor's value once its key is through
    }
    static void goTo(ImportDialog& dialog, const BoardPlace& place, int column) {
        dialog.tree().setCurrentIndex(dialog.model().indexOf(place, column));
    }
    static QString cell(ImportDialog& dialog, const BoardPlace& place, int column) {
        return dialog.model().indexOf(place, column).data().toString();
    }
    void press(ImportDialog& dialog) { dialog.findChild<QPushButton*>("storeButton")->click(); }
    std::size_t storedSessions() { return window_->library().contents()->sessions.size(); }
    void storeAll(const QStringList& paths, std::size_t expected) {
        auto* dialog = dropAndWait(paths);
        ASSERT_TRUE(dialog);
        press(*dialog);
        ASSERT_TRUE(waitFor([&] { return storedSessions() == expected; }));
        ASSERT_TRUE(waitFor([&] { return !window_->findChild<ImportDialog*>(); }));
    }
};

TEST_F(ImportDialogTest, DroppedFilesAreProposedAsSessions) {
    auto* dialog = dropAndWait(twoPairs());

    ASSERT_TRUE(dialog);
    ASSERT_EQ(dialog->model().board().sessions().size(), 2u);
    EXPECT_EQ(cell(*dialog, {0, 0}, ImportModel::What), "strap-a.csv");
    EXPECT_EQ(cell(*dialog, {0, 0}, ImportModel::Role), "reference");
    EXPECT_EQ(cell(*dialog, {0, 1}, ImportModel::Device), "band");
}

TEST_F(ImportDialogTest, TheModelKeepsTheRulesOfModelsOverCorrections) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);
    const QAbstractItemModelTester tester(&dialog->model(),
                                          QAbstractItemModelTester::FailureReportingMode::Fatal);

    goTo(*dialog, {1, 1}, 0);
    QTest::keyClick(&dialog->tree(), Qt::Key_N, Qt::ControlModifier);
    dialog->model().undo();

    EXPECT_EQ(dialog->model().board().sessions().size(), 2u);
}

TEST_F(ImportDialogTest, ANameTypedInPlaceIsStored) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);

    goTo(*dialog, {0, -1}, ImportModel::What);
    type(*dialog, "steady 15 min");
    press(*dialog);

    ASSERT_TRUE(waitFor([&] { return storedSessions() == 2; }));
    EXPECT_EQ(window_->library().contents()->sessions[0]->name, "steady 15 min");
}

TEST_F(ImportDialogTest, ARoleIsChosenByKeyboard) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);

    goTo(*dialog, {0, 1}, ImportModel::Role);
    QTest::keyClick(&dialog->tree(), Qt::Key_F2);
    auto* list = dialog->tree().viewport()->findChild<QComboBox*>("cellList");
    ASSERT_TRUE(list);
    QTest::keyClick(list, Qt::Key_Down);
    QTest::keyClick(list, Qt::Key_Return);
    QCoreApplication::processEvents();  // views take an editor's value once its key is through

    EXPECT_EQ(dialog->model().board().sessions()[0].wearings[1].is.role, library::Role::Context);
}

TEST_F(ImportDialogTest, WhatIsLeftOutIsNotStored) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);

    goTo(*dialog, {1, -1}, 0);
    QTest::keyClick(&dialog->tree(), Qt::Key_Delete);
    press(*dialog);

    ASSERT_TRUE(waitFor([&] { return storedSessions() > 0; }));
    EXPECT_EQ(storedSessions(), 1u);
}

TEST_F(ImportDialogTest, ARecordingMovesToASessionOfItsOwnAndBack) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);

    goTo(*dialog, {1, 1}, 0);
    QTest::keyClick(&dialog->tree(), Qt::Key_N, Qt::ControlModifier);
    const auto apart = dialog->model().board().sessions().size();
    QTest::keyClick(&dialog->tree(), Qt::Key_J, Qt::ControlModifier);

    EXPECT_EQ(apart, 3u);
    ASSERT_EQ(dialog->model().board().sessions().size(), 2u);
    EXPECT_EQ(dialog->model().board().sessions()[1].wearings.size(), 2u);
}

TEST_F(ImportDialogTest, AnAttemptWithoutAFileNeedsDeviceAndReason) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);
    auto* button = dialog->findChild<QPushButton*>("storeButton");

    goTo(*dialog, {0, -1}, 0);
    QTest::keyClick(&dialog->tree(), Qt::Key_T, Qt::ControlModifier);
    const bool couldWithout = button->isEnabled();
    auto* editor = dialog->tree().viewport()->findChild<QLineEdit*>();
    ASSERT_TRUE(editor);
    QTest::keyClicks(editor, "watch");
    QTest::keyClick(editor, Qt::Key_Return);
    QCoreApplication::processEvents();
    goTo(*dialog, {0, 2}, ImportModel::State);
    type(*dialog, "battery empty");
    press(*dialog);

    EXPECT_FALSE(couldWithout);
    ASSERT_TRUE(waitFor([&] { return storedSessions() == 2; }));
    const auto& attempt = window_->library().contents()->sessions[0]->wearings[2];
    EXPECT_EQ(attempt.deviceLabel, "watch");
    EXPECT_EQ(attempt.outcome, library::WearingOutcome::Failed);
    EXPECT_EQ(attempt.reason, "battery empty");
}

TEST_F(ImportDialogTest, UndoTakesACorrectionBack) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);
    const auto before = cell(*dialog, {0, -1}, ImportModel::What);
    goTo(*dialog, {0, -1}, ImportModel::What);
    type(*dialog, "another name");

    QTest::keyClick(&dialog->tree(), Qt::Key_Z, Qt::ControlModifier);

    EXPECT_EQ(cell(*dialog, {0, -1}, ImportModel::What), before);
}

TEST_F(ImportDialogTest, TheImportIsOneUndoStep) {
    storeAll(twoPairs(), 2);

    window_->commands().undo->trigger();
    const auto undone = storedSessions();
    window_->commands().redo->trigger();

    EXPECT_EQ(undone, 0u);
    EXPECT_EQ(storedSessions(), 2u);
}

TEST_F(ImportDialogTest, WhatIsStoredAlreadyIsSkippedAndSaid) {
    const auto files = twoPairs();
    storeAll(files, 2);

    auto* dialog = dropAndWait(files + QStringList{recording("watch-a.csv", 10)});

    ASSERT_TRUE(dialog);
    ASSERT_EQ(dialog->model().board().sessions().size(), 1u);
    EXPECT_TRUE(dialog->model().board().sessions()[0].is.joins);
    EXPECT_EQ(dialog->leftOver(), "Skipped as already stored: 4.");
}

TEST_F(ImportDialogTest, AFurtherRecordingJoinsItsSessionAndUndoTakesOnlyItAway) {
    storeAll(twoPairs(), 2);
    auto* dialog = dropAndWait({recording("watch-a.csv", 10)});
    ASSERT_TRUE(dialog);
    const auto wearings = [&] { return window_->library().contents()->sessions[0]->wearings.size(); };

    press(*dialog);
    ASSERT_TRUE(waitFor([&] { return wearings() == 3; }));
    window_->commands().undo->trigger();

    EXPECT_EQ(storedSessions(), 2u);
    EXPECT_EQ(wearings(), 2u);
}

TEST_F(ImportDialogTest, AFileThatCannotBeReadDoesNotStopTheOthers) {
    auto files = twoPairs();
    files << textFile("letter.txt", "Dear crew,\nsee you at the pier.\n");

    auto* dialog = dropAndWait(files);

    ASSERT_TRUE(dialog);
    EXPECT_EQ(dialog->model().board().sessions().size(), 2u);
    ASSERT_EQ(dialog->model().source()->unread.size(), 1u);
    EXPECT_TRUE(dialog->findChild<QPushButton*>("storeButton")->isEnabled());
}

TEST_F(ImportDialogTest, ControlAndEnterStores) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);

    QTest::keyClick(&dialog->tree(), Qt::Key_Return, Qt::ControlModifier);

    EXPECT_TRUE(waitFor([&] { return storedSessions() == 2; }));
}

TEST_F(ImportDialogTest, CancelLeavesTheLibraryAsItWas) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);

    QTest::keyClick(dialog, Qt::Key_Escape);

    EXPECT_TRUE(waitFor([&] { return !window_->findChild<ImportDialog*>(); }));
    EXPECT_EQ(storedSessions(), 0u);
    EXPECT_TRUE(window_->library().contents()->projects.empty());
}

TEST_F(ImportDialogTest, TheBannerSaysWhatWasStored) {
    storeAll(twoPairs(), 2);

    EXPECT_EQ(window_->banner().headline(), "Imported");
    EXPECT_EQ(window_->banner().text(), "2 new sessions.");
}

TEST_F(ImportDialogTest, ASpanTypedBelowTheTreeIsStored) {
    auto* dialog = dropAndWait(twoPairs());
    ASSERT_TRUE(dialog);
    goTo(*dialog, {0, 1}, 0);

    auto* from = dialog->findChild<QLineEdit*>("fromField");
    from->setText("2031-03-02 09:05:00");
    QTest::keyClick(from, Qt::Key_Return);

    const auto& use = dialog->model().board().sessions()[0].wearings[1].is.recordings[0];
    ASSERT_TRUE(use.span);
    EXPECT_TRUE(dialog->isVisible()) << "Enter in a field must not store";
    // band-a.csv begins at 09:00:03: 297 of its 900 seconds are cut.
    EXPECT_EQ(samplesOf(dialog->model().board().sessions()[0].wearings[1].is, *dialog->model().source()),
              603u);
}

}  // namespace
}  // namespace beatwitness::tests
