// Phases drawn in the window end up in the library, and come back from it.
#include "app/document/library_marks.h"

#include "app/document/annotations.h"
#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "core/library/read_file.h"
#include "tests/app/window_fixture.h"

#include <QTest>

namespace beatwitness::tests {
namespace {

using namespace library;

class LibraryMarks : public WindowTest {
protected:
    void SetUp() override {
        openFlatPair();
        stored_.create(folder_.filePath("harbour.beatwitness"));
        ASSERT_TRUE(waitFor([&] { return stored_.isOpen(); }));
        SessionDraft draft{"one", "rowing ergometer", "A", "", {}};
        for (const auto* name : {"strap", "band"}) {
            auto file = readForLibrary(folder_.filePath(QString("%1.csv").arg(name)).toStdString());
            ASSERT_TRUE(file);
            draft.wearings.push_back({draft.wearings.empty() ? Role::Reference : Role::Test,
                                      name,
                                      {},
                                      WearingOutcome::Recorded,
                                      "",
                                      {{*file, std::nullopt}}});
        }
        stored_.importSessions({draft}, "band trial");
        ASSERT_TRUE(waitFor([&] { return !stored_.isStoring() && !stored_.contents()->sessions.empty(); }));
        session_ = stored_.contents()->sessions.front()->id;
        annotations().keepWith(window_->document().analysis()->reference.sha256,
                               std::make_shared<app::LibraryMarks>(stored_, session_));
    }
    app::Annotations& annotations() { return window_->document().annotations(); }
    void addPhase() {
        annotations().addPhase({annotations().instantAt(10), annotations().instantAt(70)},
                               trace::PhaseKind::Effort, "first piece");
    }

    QUndoStack undo_;
    app::LibraryDocument stored_{undo_};
    SessionId session_;
};

TEST_F(LibraryMarks, APhaseIsStoredAtOnceAndTakenBackByUndo) {
    addPhase();
    const auto stored = stored_.phases(session_);
    window_->commands().undo->trigger();

    ASSERT_TRUE(stored);
    ASSERT_EQ(stored->size(), 1u);
    EXPECT_EQ(stored->front().label, "first piece");
    EXPECT_TRUE(stored_.phases(session_)->empty());
}

TEST_F(LibraryMarks, WhatIsStoredIsShownWhenTheSessionIsKeptThere) {
    addPhase();
    annotations().addPin(annotations().instantAt(5), "strap tightened");
    const auto key = window_->document().analysis()->reference.sha256;
    annotations().keepWith(key, nullptr);
    EXPECT_TRUE(annotations().phases().empty());

    annotations().keepWith(key, std::make_shared<app::LibraryMarks>(stored_, session_));

    ASSERT_EQ(annotations().phases().size(), 1u);
    EXPECT_EQ(annotations().phases()[0].label, "first piece");
    EXPECT_EQ(annotations().pins()[0].note, "strap tightened");
}

// One export serves two sessions: what is taken back belongs to the session it was made in.
TEST_F(LibraryMarks, UndoReachesTheSessionThatWasMarkedThoughAnotherOfItsReferenceIsOpen) {
    SessionDraft again{"two", "rowing ergometer", "A", "", {}};
    for (const auto* name : {"strap", "band"}) {
        auto file = readForLibrary(folder_.filePath(QString("%1.csv").arg(name)).toStdString());
        ASSERT_TRUE(file);
        again.wearings.push_back({again.wearings.empty() ? Role::Reference : Role::Test,
                                  name,
                                  {},
                                  WearingOutcome::Recorded,
                                  "",
                                  {{*file, std::nullopt}}});
    }
    stored_.importSessions({again}, "band trial");
    ASSERT_TRUE(waitFor([&] { return !stored_.isStoring() && stored_.contents()->sessions.size() == 2; }));
    const auto& sessions = stored_.contents()->sessions;
    const auto other = sessions[0]->id == session_ ? sessions[1]->id : sessions[0]->id;
    addPhase();
    annotations().keepWith(window_->document().analysis()->reference.sha256,
                           std::make_shared<app::LibraryMarks>(stored_, other));
    addPhase();
    annotations().addPhase({annotations().instantAt(80), annotations().instantAt(95)},
                           trace::PhaseKind::Effort, "second piece");

    for (int i = 0; i < 3; ++i)
        window_->commands().undo->trigger();

    EXPECT_TRUE(stored_.phases(session_)->empty());
    EXPECT_TRUE(stored_.phases(other)->empty());
    window_->commands().redo->trigger();
    EXPECT_EQ(stored_.phases(session_)->size(), 1u);
    EXPECT_TRUE(stored_.phases(other)->empty());
}

TEST_F(LibraryMarks, AClosedLibraryRefusesAndNothingIsShownThatIsNotStored) {
    stored_.close();
    QString told;
    QObject::connect(&annotations(), &app::Annotations::refused, [&](const QString& words) { told = words; });

    addPhase();

    EXPECT_TRUE(told.contains("closed")) << told.toStdString();
    EXPECT_TRUE(annotations().phases().empty());
    EXPECT_FALSE(window_->document().undoStack().canUndo() &&
                 window_->document().undoStack().undoText() == "new phase");
}

}  // namespace
}  // namespace beatwitness::tests
