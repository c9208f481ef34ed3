#include "core/library/library.h"

#include <set>

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using library::Role;
using library::WearingOutcome;

namespace {

class Library : public tests::LibraryFixture {
protected:
    library::AddedSession add(library::Library& library, const library::SessionDraft& draft,
                              std::string_view project = library::defaultProject) {
        auto added = library.addSessions(std::span{&draft, 1}, project);
        EXPECT_TRUE(added) << added.fault().message;
        return added ? added->front() : library::AddedSession{};
    }
    std::vector<library::SessionRow> sessionsOf(library::Library& library, std::string_view project) {
        const auto id = library.findProject(project);
        EXPECT_TRUE(id);
        return id ? *library.sessionsOf(*id) : std::vector<library::SessionRow>{};
    }
};

}  // namespace

TEST_F(Library, ASessionComesBackAsItWasGiven) {
    auto library = opened();
    auto draft = tests::pairDraft("Tuesday", 1);
    draft.note = "rain";
    draft.wearings[1].facts = {"unit 2", "3.1", "wrist", "left", "snug", "row"};

    const auto id = add(library, draft).id;

    const auto row = library.session(id);
    ASSERT_TRUE(row);
    EXPECT_EQ(row->name, "Tuesday");
    EXPECT_EQ(row->activity, "rowing ergometer");
    EXPECT_EQ(row->wearer, "A");
    EXPECT_EQ(row->note, "rain");
    ASSERT_EQ(row->wearings.size(), 2u);
    EXPECT_EQ(row->wearings[0].role, Role::Reference);
    EXPECT_EQ(row->wearings[0].deviceLabel, "strap");
    const auto& band = row->wearings[1];
    EXPECT_EQ(band.role, Role::Test);
    EXPECT_EQ(band.facts.unit + band.facts.firmware + band.facts.position, "unit 23.1wrist");
    EXPECT_EQ(band.facts.side + band.facts.tightness + band.facts.mode, "leftsnugrow");
    EXPECT_EQ(band.outcome, WearingOutcome::Recorded);
    EXPECT_EQ(band.recordings.size(), 1u);
}

// The text starts at epoch 1930380000 + 2 x 3600.
TEST_F(Library, ASessionStartsWithTheReference) {
    auto library = opened();

    const auto id = add(library, tests::pairDraft("one", 1)).id;

    EXPECT_EQ(library.session(id)->start, Micros{(1930380000 + 7200) * std::int64_t{1000000}});
}

TEST_F(Library, AnAttemptThatFailedIsKeptWithItsReason) {
    auto library = opened();
    auto draft = tests::pairDraft("one", 1);
    draft.wearings.push_back({Role::Test, "watch", {}, WearingOutcome::Failed, "battery empty", {}});

    const auto id = add(library, draft).id;

    const auto row = library.session(id);
    ASSERT_EQ(row->wearings.size(), 3u);
    EXPECT_EQ(row->wearings[2].outcome, WearingOutcome::Failed);
    EXPECT_EQ(row->wearings[2].reason, "battery empty");
    EXPECT_TRUE(row->wearings[2].recordings.empty());
}

TEST_F(Library, TheSameSessionAgainIsNothingNew) {
    auto library = opened();
    const auto first = add(library, tests::pairDraft("one", 1));

    const auto second = add(library, tests::pairDraft("one", 1));

    EXPECT_FALSE(second.isNew);
    EXPECT_EQ(second.id, first.id);
    EXPECT_EQ(second.alreadyStored, (std::vector<std::string>{"one-strap.csv", "one-band.csv"}));
    EXPECT_EQ(library.allSessions()->size(), 1u);
}

TEST_F(Library, TheSameNameWithOtherRecordingsIsAnotherSession) {
    auto library = opened();
    const auto first = add(library, tests::pairDraft("one", 1));

    const auto second = add(library, tests::pairDraft("one", 2));

    EXPECT_TRUE(second.isNew);
    EXPECT_NE(second.id, first.id);
    EXPECT_EQ(library.allSessions()->size(), 2u);
}

TEST_F(Library, AFileOfTwoSessionsIsStoredOnce) {
    auto library = opened();
    add(library, tests::pairDraft("one", 1));

    const auto second = add(library, tests::pairDraft("two", 1));

    EXPECT_TRUE(second.isNew);
    EXPECT_EQ(second.alreadyStored.size(), 2u);
    EXPECT_EQ(tests::rawSql(path(), "SELECT count(*) FROM recording"), "2");
}

TEST_F(Library, ASessionJoinsEveryProjectItIsAddedTo) {
    auto library = opened();
    const auto first = add(library, tests::pairDraft("one", 1));
    add(library, tests::pairDraft("two", 2));

    add(library, tests::pairDraft("one", 1), "Harbour Crew");

    const auto crew = sessionsOf(library, "Harbour Crew");
    ASSERT_EQ(crew.size(), 1u);
    EXPECT_EQ(crew[0].id, first.id);
    EXPECT_EQ(crew[0].wearings.size(), 2u);
    EXPECT_EQ(sessionsOf(library, library::defaultProject).size(), 2u);
}

TEST_F(Library, SessionsComeInTheOrderOfTheirStart) {
    auto library = opened();
    for (const int seed : {3, 1, 2})
        add(library, tests::pairDraft(std::to_string(seed), static_cast<std::uint64_t>(seed)));

    const auto rows = library.allSessions();

    ASSERT_EQ(rows->size(), 3u);
    EXPECT_EQ((*rows)[0].name + (*rows)[1].name + (*rows)[2].name, "123");
}

TEST_F(Library, AFaultInOneSessionStoresNoneOfThem) {
    auto library = opened();
    auto wrong = tests::pairDraft("two", 2);
    wrong.wearings[1].recordings.clear();
    const std::vector drafts{tests::pairDraft("one", 1), wrong};

    const auto added = library.addSessions(drafts);

    ASSERT_FALSE(added);
    EXPECT_EQ(added.fault().code, FaultCode::WrongUsage);
    EXPECT_TRUE(library.allSessions()->empty());
    EXPECT_TRUE(library.projects()->empty());
}

TEST_F(Library, ABatchThatIsNotCommittedLeavesNothing) {
    auto library = opened();
    {
        auto batch = library.beginBatch();
        ASSERT_TRUE(batch);
        ASSERT_TRUE(batch->add(tests::pairDraft("one", 1)));
    }

    EXPECT_TRUE(library.allSessions()->empty());
}

TEST_F(Library, ADeadBatchCannotBeCommitted) {
    auto library = opened();
    {
        auto batch = library.beginBatch();
        ASSERT_TRUE(batch->add(tests::pairDraft("one", 1)));
        ASSERT_FALSE(batch->add(tests::pairDraft("", 2)));

        EXPECT_FALSE(batch->commit());
    }
    EXPECT_TRUE(library.allSessions()->empty());
}

TEST_F(Library, StoppingAnImportStoresNothing) {
    auto library = opened();
    std::stop_source stop;
    const RunControl run{stop.get_token(), [&](double) { stop.request_stop(); }};
    const std::vector drafts{tests::pairDraft("one", 1), tests::pairDraft("two", 2)};

    const auto added = library.addSessions(drafts, library::defaultProject, run);

    ASSERT_FALSE(added);
    EXPECT_EQ(added.fault().code, FaultCode::Cancelled);
    EXPECT_TRUE(library.allSessions()->empty());
}

TEST_F(Library, ADeletedSessionIsHiddenAndComesBackWhole) {
    auto library = opened();
    const auto id = add(library, tests::pairDraft("one", 1)).id;

    ASSERT_TRUE(library.deleteSession(id));

    EXPECT_TRUE(library.allSessions()->empty());
    EXPECT_FALSE(library.session(id));
    ASSERT_TRUE(library.restoreSession(id));
    EXPECT_EQ(library.session(id)->wearings.size(), 2u);
    EXPECT_EQ(sessionsOf(library, library::defaultProject).size(), 1u);
}

TEST_F(Library, PurgingRemovesRecordingsThatNothingDrawsFrom) {
    auto library = opened();
    const auto one = add(library, tests::pairDraft("one", 1)).id;
    add(library, tests::pairDraft("two", 2));
    ASSERT_TRUE(library.deleteSession(one));

    ASSERT_TRUE(library.purgeDeleted());

    EXPECT_FALSE(library.restoreSession(one));
    EXPECT_EQ(tests::rawSql(path(), "SELECT count(*) FROM recording"), "2");
    EXPECT_EQ(tests::rawSql(path(), "SELECT count(*) FROM channel"), "2");
    EXPECT_EQ(library.allSessions()->size(), 1u);
    EXPECT_TRUE(library.checkIntegrity());
}

TEST_F(Library, PurgingKeepsARecordingOfAnotherSession) {
    auto library = opened();
    const auto one = add(library, tests::pairDraft("one", 1)).id;
    const auto two = add(library, tests::pairDraft("two", 1)).id;
    ASSERT_TRUE(library.deleteSession(one));

    ASSERT_TRUE(library.purgeDeleted());

    EXPECT_TRUE(library.loadWearing(library.session(two)->wearings[0]));
}

TEST_F(Library, AnotherReadingReplacesOneThatNothingDrawsFrom) {
    auto library = opened();
    auto draft = tests::pairDraft("one", 1);
    const auto first = add(library, draft).id;
    auto changed = std::make_shared<library::ReadFile>(*draft.wearings[1].recordings[0].file);
    changed->read.recording.clock = recording::ClockBasis::ZoneUnknown;
    draft.name = "two";
    draft.wearings[1].recordings[0].file = changed;

    const auto whileUsed = add(library, draft);
    ASSERT_TRUE(library.deleteSession(first));
    ASSERT_TRUE(library.deleteSession(whileUsed.id));
    const auto afterwards = add(library, draft);

    EXPECT_EQ(whileUsed.readOtherwise, std::vector<std::string>{"one-band.csv"});
    EXPECT_TRUE(afterwards.readOtherwise.empty());
    const auto band = library.loadWearing(library.session(afterwards.id)->wearings[1]);
    EXPECT_EQ(band->recording.clock, recording::ClockBasis::ZoneUnknown);
}

TEST_F(Library, LabelsAreFoundAgain) {
    auto library = opened();

    const auto first = library.device("strap"), again = library.device("strap"),
               other = library.device("Strap");

    ASSERT_TRUE(first && again && other);
    EXPECT_EQ(*first, *again);
    EXPECT_NE(*first, *other);
    EXPECT_EQ(library.devices()->size(), 2u);
}

TEST_F(Library, LabelsMayHoldAnything) {
    auto library = opened();
    const std::string odd{"Rob'); DROP TABLE device;-- \0 \xFF é", 34};

    ASSERT_TRUE(library.device(odd));

    EXPECT_EQ(library.devices()->at(0).label, odd);
}

TEST_F(Library, AnUnknownProjectIsSaid) {
    auto library = opened();

    const auto found = library.findProject("absent");

    ASSERT_FALSE(found);
    EXPECT_EQ(found.fault().code, FaultCode::NotInLibrary);
    EXPECT_NE(found.fault().message.find("absent"), std::string::npos);
}

TEST_F(Library, TheJournalTellsWhatHappened) {
    auto library = opened();
    const auto id = add(library, tests::pairDraft("one", 1)).id;
    ASSERT_TRUE(library.deleteSession(id));

    const auto entries = library.journal();

    ASSERT_EQ(entries->size(), 3u);
    EXPECT_EQ((*entries)[1].session, id);
    EXPECT_EQ((*entries)[2].what, "session deleted");
    EXPECT_LE((*entries)[0].at, (*entries)[2].at);
}

TEST_F(Library, FilesWithAndWithoutADateAreNotDrawnTogether) {
    auto library = opened();
    auto draft = tests::pairDraft("one", 1);
    draft.wearings[0].recordings.push_back(
        {tests::readText("elapsed.csv", "secs,hr\n0,90\n1,91\n2,92\n"), std::nullopt});

    const auto added = library.addSessions(std::span{&draft, 1});

    ASSERT_FALSE(added);
    EXPECT_EQ(added.fault().code, FaultCode::WrongUsage);
}
