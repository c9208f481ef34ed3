#include "app/document/library_document.h"

#include <gtest/gtest.h>

#include <QFile>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QTest>
#include <cstring>

#include "core/library/read_file.h"

namespace beatwitness::tests {
namespace {

using namespace app;
using namespace library;

/// A library document on a scratch file, and drafts of a strap and a band that tell each other apart by name.
class LibraryDocumentTest : public ::testing::Test {
protected:
    LibraryDocumentTest() {
        QObject::connect(&document_, &LibraryDocument::failed, &document_,
                         [this](const QString&, const Fault& fault) { faults_.push_back(fault); });
        QObject::connect(&document_, &LibraryDocument::changed, &document_,
                         [this](const LibraryChange& change) { changes_.push_back(change); });
    }

    QString path(const QString& name = "harbour.beatwitness") const { return folder_.filePath(name); }

    void openNew() {
        document_.create(path());
        ASSERT_TRUE(QTest::qWaitFor([this] { return document_.isOpen(); }, 5000));
    }

    std::shared_ptr<const ReadFile> file(const QString& name, int rate) {
        QFile text(folder_.filePath(name));
        EXPECT_TRUE(text.open(QIODevice::WriteOnly));
        text.write("time,hr\n");
        for (int i = 0; i < 60; ++i)
            text.write(QString("%1,%2\n").arg(1930380000 + i).arg(rate).toLatin1());
        text.close();
        auto read = readForLibrary(text.fileName().toStdString());
        EXPECT_TRUE(read);
        return *read;
    }

    SessionDraft draft(const std::string& name, int rate) {
        SessionDraft draft{name, "rowing ergometer", "A", "", {}};
        const auto id = QString::fromStdString(name);
        draft.wearings.push_back({Role::Reference,
                                  "strap",
                                  {},
                                  WearingOutcome::Recorded,
                                  "",
                                  {{file(id + "-strap.csv", rate), std::nullopt}}});
        draft.wearings.push_back({Role::Test,
                                  "band",
                                  {},
                                  WearingOutcome::Recorded,
                                  "",
                                  {{file(id + "-band.csv", rate + 1), std::nullopt}}});
        return draft;
    }

    void importTwo() {
        QSignalSpy imported(&document_, &LibraryDocument::imported);
        document_.importSessions({draft("one", 100), draft("two", 120)}, "band trial");
        ASSERT_TRUE(QTest::qWaitFor([&] { return imported.count() == 1; }, 5000));
        changes_.clear();
    }

    SessionId first() const { return document_.contents()->sessions.front()->id; }
    std::string nameOfFirst() const { return document_.contents()->sessions.front()->name; }

    bool rename(SessionId id, const std::string& name) {
        auto is = reader().particulars(id);
        is->name = name;
        return document_.edit("rename session to " + QString::fromStdString(name),
                              {RowOf<SessionId, SessionParticulars>{id, *is}});
    }

    Library reader() const { return std::move(*Library::open(path().toStdString(), {.write = false})); }

    QTemporaryDir folder_;
    QUndoStack undo_;
    LibraryDocument document_{undo_};
    std::vector<Fault> faults_;
    std::vector<LibraryChange> changes_;
};

TEST_F(LibraryDocumentTest, ANewLibraryIsOpenAndEmpty) {
    openNew();

    EXPECT_TRUE(document_.canWrite());
    EXPECT_EQ(document_.name(), "harbour");
    EXPECT_TRUE(document_.contents()->sessions.empty());
}

TEST_F(LibraryDocumentTest, ANewLibraryNeverTakesThePlaceOfAFile) {
    QFile there(path());
    ASSERT_TRUE(there.open(QIODevice::WriteOnly));
    there.write("mine");
    there.close();

    document_.create(path());

    ASSERT_EQ(faults_.size(), 1u);
    EXPECT_FALSE(document_.isOpen());
    ASSERT_TRUE(there.open(QIODevice::ReadOnly));
    EXPECT_EQ(there.readAll(), "mine");
}

TEST_F(LibraryDocumentTest, AFileThatCannotBeOpenedLeavesTheLibraryAtHand) {
    openNew();

    document_.open(path("absent.beatwitness"));

    ASSERT_TRUE(QTest::qWaitFor([this] { return !faults_.empty(); }, 5000));
    EXPECT_EQ(faults_.front().code, FaultCode::LibraryNotOpened);
    EXPECT_TRUE(document_.isOpen());
    EXPECT_EQ(document_.name(), "harbour");
}

TEST_F(LibraryDocumentTest, AnImportIsOneUndoStep) {
    openNew();

    importTwo();

    EXPECT_EQ(document_.contents()->sessions.size(), 2u);
    ASSERT_EQ(undo_.count(), 1);
    EXPECT_EQ(undo_.undoText(), "import of 2 sessions");
}

TEST_F(LibraryDocumentTest, UndoOfAnImportHidesItsSessionsAndTheProjectItMade) {
    openNew();
    importTwo();

    undo_.undo();

    EXPECT_TRUE(document_.contents()->sessions.empty());
    EXPECT_TRUE(document_.contents()->projects.empty());
}

TEST_F(LibraryDocumentTest, RedoOfAnImportBringsItsSessionsBackToTheProject) {
    openNew();
    importTwo();
    undo_.undo();

    undo_.redo();

    ASSERT_EQ(document_.contents()->sessions.size(), 2u);
    EXPECT_TRUE(document_.contents()->isMember(document_.contents()->projects.front().id, first()));
}

TEST_F(LibraryDocumentTest, AnImportOfWhatIsThereAddsNoSecondSession) {
    openNew();
    importTwo();
    QSignalSpy imported(&document_, &LibraryDocument::imported);

    document_.importSessions({draft("one", 100)}, "band trial");

    ASSERT_TRUE(QTest::qWaitFor([&] { return imported.count() == 1; }, 5000));
    EXPECT_EQ(document_.contents()->sessions.size(), 2u);
    EXPECT_EQ(undo_.count(), 1) << "nothing was changed, so there is nothing to undo";
}

TEST_F(LibraryDocumentTest, ACancelledImportLeavesTheLibraryAsItWas) {
    openNew();
    std::vector<SessionDraft> many;
    const auto one = draft("one", 100);
    for (int i = 0; i < 4000; ++i) {
        many.push_back(one);
        many.back().name += std::to_string(i);
    }
    QSignalSpy stopped(&document_, &LibraryDocument::importStopped);

    document_.importSessions(std::move(many), "band trial");
    document_.runner().cancel();

    EXPECT_EQ(stopped.count(), 1);
    EXPECT_FALSE(document_.isStoring());
    EXPECT_TRUE(reader().allSessions()->empty());
    EXPECT_EQ(undo_.count(), 0);
}

TEST_F(LibraryDocumentTest, WhileSessionsAreStoredEditsAreRefused) {
    openNew();
    importTwo();
    document_.importSessions({draft("three", 90)}, "band trial");

    const bool done = rename(first(), "other");

    EXPECT_FALSE(done);
    ASSERT_EQ(faults_.size(), 1u);
    EXPECT_EQ(faults_.front().code, FaultCode::LibraryLocked);
}

TEST_F(LibraryDocumentTest, AnEditIsStoredAndTellsWhichSession) {
    openNew();
    importTwo();

    const bool done = rename(first(), "pyramid");

    EXPECT_TRUE(done);
    EXPECT_EQ(nameOfFirst(), "pyramid");
    EXPECT_EQ(reader().session(first())->name, "pyramid");
    ASSERT_EQ(changes_.size(), 1u);
    EXPECT_EQ(changes_.front().sessions, std::set{first()});
    EXPECT_EQ(undo_.undoText(), "rename session to pyramid");
}

TEST_F(LibraryDocumentTest, UndoAndRedoOfAnEditAreStoredToo) {
    openNew();
    importTwo();
    const auto id = first();
    rename(id, "pyramid");

    undo_.undo();
    const auto undone = reader().session(id)->name;
    undo_.redo();

    EXPECT_EQ(undone, "one");
    EXPECT_EQ(reader().session(id)->name, "pyramid");
}

TEST_F(LibraryDocumentTest, AnEditThatChangesNothingIsNoStep) {
    openNew();
    importTwo();

    const bool done = rename(first(), "one");

    EXPECT_TRUE(done);
    EXPECT_EQ(undo_.count(), 1);
    EXPECT_TRUE(changes_.empty());
}

TEST_F(LibraryDocumentTest, AnEditThatCannotBeStoredIsNoStepAndIsTold) {
    openNew();
    importTwo();

    const bool done = rename(first(), "");

    EXPECT_FALSE(done);
    EXPECT_EQ(undo_.count(), 1);
    ASSERT_EQ(faults_.size(), 1u);
    EXPECT_EQ(faults_.front().code, FaultCode::WrongUsage);
    EXPECT_EQ(nameOfFirst(), "one");
}

TEST_F(LibraryDocumentTest, ADeviceThatIsRenamedIsRenamedInItsSessions) {
    openNew();
    importTwo();
    const auto band = *document_.device("band");
    auto is = *document_.contents()->device(band);
    is.label = "bracelet";

    ASSERT_TRUE(document_.edit("rename device", {RowOf<DeviceId, DeviceParticulars>{band, is}}));

    EXPECT_EQ(document_.contents()->sessions.front()->wearings.back().deviceLabel, "bracelet");
}

TEST_F(LibraryDocumentTest, ASecondDocumentOnTheFileReadsAndSaysWhy) {
    openNew();
    importTwo();
    QUndoStack otherUndo;
    LibraryDocument other(otherUndo);

    other.open(path());

    ASSERT_TRUE(QTest::qWaitFor([&] { return other.isOpen(); }, 5000));
    EXPECT_EQ(other.contents()->sessions.size(), 2u);
    ASSERT_TRUE(other.readOnlyBecause());
    EXPECT_EQ(other.readOnlyBecause()->code, FaultCode::LibraryLocked);
}

TEST_F(LibraryDocumentTest, ClosingLeavesOneFile) {
    openNew();
    importTwo();

    document_.close();

    EXPECT_FALSE(QFile::exists(path() + "-wal"));
    EXPECT_FALSE(QFile::exists(path() + "-writer"));
    EXPECT_EQ(undo_.count(), 0);
}

TEST_F(LibraryDocumentTest, ACopyHoldsWhatTheLibraryHolds) {
    openNew();
    importTwo();
    QSignalSpy saved(&document_, &LibraryDocument::copySaved);

    document_.saveCopy(path("copy.beatwitness"));

    ASSERT_TRUE(QTest::qWaitFor([&] { return saved.count() == 1; }, 5000));
    auto copy = Library::open(path("copy.beatwitness").toStdString());
    ASSERT_TRUE(copy);
    EXPECT_EQ(copy->allSessions()->size(), 2u);
}

TEST_F(LibraryDocumentTest, AFailedAttemptIsAddedAndUndone) {
    openNew();
    importTwo();
    const auto watch = *document_.device("watch");

    ASSERT_TRUE(document_.addWearing("failed attempt of watch", first(),
                                     {Role::Test, watch, {}, WearingOutcome::Failed, "flat battery"}));
    const auto with = document_.contents()->session(first())->wearings.size();
    undo_.undo();

    EXPECT_EQ(with, 3u);
    EXPECT_EQ(document_.contents()->session(first())->wearings.size(), 2u);
}

TEST_F(LibraryDocumentTest, APlannedSessionIsAddedAndUndone) {
    openNew();
    importTwo();
    const auto project = document_.contents()->projects.front().id;

    const auto id = document_.addPlanned("plan 8 rounds", {project, "8 rounds", std::nullopt, "2031-03-20"});
    const auto with = document_.contents()->plan.size();
    undo_.undo();

    EXPECT_TRUE(id);
    EXPECT_EQ(with, 1u);
    EXPECT_TRUE(document_.contents()->plan.empty());
}

}  // namespace
}  // namespace beatwitness::tests
