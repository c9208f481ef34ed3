// A plan of phases copied from one session of the library to others, on the real window.
#include <QDialog>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalSpy>
#include <QTest>
#include <QTreeWidget>

#include "app/document/annotations.h"
#include "app/windows/commands.h"
#include "app/windows/timeline_commands.h"
#include "core/library/read_file.h"
#include "tests/app/window_fixture.h"

namespace beatwitness::tests {
namespace {

using namespace library;
using library::Role;

/// Three rowing sessions and a walk, each on a day of its own; the third is 60 s long, the others 400 s.
class CopyPhases : public WindowTest {
protected:
    static constexpr int firstDay_s = 1930380000;

    WearingDraft worn(Role role, const std::string& device, int day, int seconds) {
        QByteArray text = "time,hr\n";
        for (int i = 0; i < seconds; ++i)
            text +=
                QByteArray::number(firstDay_s + day * 86400 + i) + ',' + QByteArray::number(110 + day) + '\n';
        auto read = readForLibrary(
            textFile(QString("%1-%2.csv").arg(QString::fromStdString(device)).arg(day), text).toStdString());
        EXPECT_TRUE(read);
        return {role, device, {}, WearingOutcome::Recorded, "", {{*read, std::nullopt}}};
    }
    void SetUp() override {
        std::vector<SessionDraft> drafts{{"pyramid", "rowing ergometer", "A", "", {}},
                                         {"steady", "rowing ergometer", "A", "", {}},
                                         {"sprint", "rowing ergometer", "A", "", {}},
                                         {"north ridge", "hill walk", "A", "", {}}};
        for (int i = 0; i < 4; ++i)
            drafts[i].wearings = {worn(Role::Reference, "strap", i, i == 2 ? 60 : 400),
                                  worn(Role::Test, "band", i, i == 2 ? 60 : 400)};
        auto& library = window_->library();
        library.create(folder_.filePath("harbour.beatwitness"));
        ASSERT_TRUE(waitFor([&] { return library.isOpen(); }));
        QSignalSpy imported(&library, &app::LibraryDocument::imported);
        library.importSessions(drafts, "band trial");
        ASSERT_TRUE(waitFor([&] { return imported.count() == 1; }));
        window_->storedSession().open(session("pyramid"));
        ASSERT_TRUE(waitFor([&] { return window_->document().isStored(); }));
        addPhase(10, 40, "warm");
        addPhase(100, 200, "piece");
    }

    SessionId session(const std::string& name) {
        for (const auto& row : window_->library().contents()->sessions)
            if (row->name == name) return row->id;
        return {};
    }
    app::Annotations& annotations() { return window_->document().annotations(); }
    void addPhase(double begin, double end, const QString& label) {
        annotations().addPhase({annotations().instantAt(begin), annotations().instantAt(end)},
                               trace::PhaseKind::Effort, label);
    }
    /// Begin and end of the session's phases in seconds of its day's recording.
    std::vector<std::pair<double, double>> spansOf(const std::string& name, int day) {
        const auto phases = window_->library().phases(session(name));
        std::vector<std::pair<double, double>> found;
        const auto seconds = [&](ReferenceTime time) {
            return toSeconds(time.time_since_epoch()).value - firstDay_s - day * 86400;
        };
        for (const auto& phase : *phases)
            found.emplace_back(seconds(phase.span.begin), seconds(phase.span.end));
        return found;
    }
    QDialog* askForCopies() {
        window_->timelineCommands().action("copyPhases")->trigger();
        return window_->findChild<QDialog*>("copyPhasesDialog");
    }
    void copy(QDialog* dialog) {
        dialog->findChild<QPushButton*>("copy")->click();
        ASSERT_TRUE(waitFor([&] { return !dialog->isVisible(); }));
    }
    QTreeWidgetItem* row(QDialog* dialog, const QString& name) {
        return dialog->findChild<QTreeWidget*>("copyTargets")->findItems(name, Qt::MatchExactly).value(0);
    }
};

TEST_F(CopyPhases, SessionsOfTheSameActivityAreTickedAndGetThePhasesAsFarFromTheirBegin) {
    auto* dialog = askForCopies();
    ASSERT_NE(dialog, nullptr);

    copy(dialog);

    const std::vector<std::pair<double, double>> wanted{{10, 40}, {100, 200}};
    EXPECT_EQ(spansOf("steady", 1), wanted);
    EXPECT_TRUE(spansOf("north ridge", 3).empty());
}

TEST_F(CopyPhases, WhatARecordingIsTooShortForIsLeftOut) {
    copy(askForCopies());

    EXPECT_EQ(spansOf("sprint", 2), (std::vector<std::pair<double, double>>{{10, 40}}));
}

TEST_F(CopyPhases, ACopyKeepsNamesAndSaysThatItIsOne) {
    copy(askForCopies());

    const auto phases = window_->library().phases(session("steady"));
    ASSERT_EQ(phases->size(), 2u);
    EXPECT_EQ(phases->at(1).label, "piece");
    EXPECT_EQ(phases->at(1).origin, trace::PhaseOrigin::Copy);
}

TEST_F(CopyPhases, TheyBeginLaterByWhatIsTyped) {
    auto* dialog = askForCopies();
    dialog->findChild<QLineEdit*>("later")->setText("0:30");

    copy(dialog);

    EXPECT_EQ(spansOf("steady", 1), (std::vector<std::pair<double, double>>{{40, 70}, {130, 230}}));
}

TEST_F(CopyPhases, OneUndoTakesAllCopiesBack) {
    auto* dialog = askForCopies();
    row(dialog, "north ridge")->setCheckState(0, Qt::Checked);
    copy(dialog);
    ASSERT_EQ(spansOf("north ridge", 3).size(), 2u);

    window_->commands().undo->trigger();

    EXPECT_TRUE(spansOf("north ridge", 3).empty());
    EXPECT_TRUE(spansOf("steady", 1).empty());
    EXPECT_EQ(spansOf("pyramid", 0).size(), 2u);
}

TEST_F(CopyPhases, ASessionThatHasPhasesKeepsThemUnlessItIsTicked) {
    copy(askForCopies());
    addPhase(300, 350, "late");
    auto* dialog = askForCopies();

    EXPECT_EQ(row(dialog, "steady")->checkState(0), Qt::Unchecked);
    row(dialog, "steady")->setCheckState(0, Qt::Checked);
    copy(dialog);

    EXPECT_EQ(spansOf("steady", 1).size(), 3u);
}

TEST_F(CopyPhases, ATimeThatIsNoneCopiesNothing) {
    auto* dialog = askForCopies();

    dialog->findChild<QLineEdit*>("later")->setText("soon");

    EXPECT_FALSE(dialog->findChild<QPushButton*>("copy")->isEnabled());
}

TEST_F(CopyPhases, ItIsOfferedOnlyWherePhasesAreAtHand) {
    while (window_->document().undoStack().canUndo() && !annotations().phases().empty())
        window_->commands().undo->trigger();

    EXPECT_FALSE(window_->timelineCommands().action("copyPhases")->isEnabled());
}

}  // namespace
}  // namespace beatwitness::tests
