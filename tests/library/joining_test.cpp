// Wearings that join a stored session, and what the library tells of stored files.

#include "core/library/library_knowledge.h"
#include "tests/library/library_fixture.h"

using namespace beatwitness;
using library::Library;
using library::SessionDraft;

namespace {

class Joining : public tests::LibraryFixture {
protected:
    /// A watch over the session of pairDraft("one", 1).
    static SessionDraft watchFor(library::SessionId session) {
        SessionDraft draft;
        draft.joins = session;
        library::WearingDraft watch;
        watch.device = "watch";
        watch.recordings.push_back({tests::readText("watch.csv", tests::csvText(2, 100)), std::nullopt});
        draft.wearings.push_back(std::move(watch));
        return draft;
    }
    static library::SessionId storeOne(Library& library) {
        const auto draft = tests::pairDraft("one", 1);
        return library.addSessions(std::span{&draft, 1})->front().id;
    }
};

}  // namespace

TEST_F(Joining, AddsAWearingBehindThoseThatAreThere) {
    auto library = opened();
    const auto session = storeOne(library);
    const auto draft = watchFor(session);

    const auto added = library.addSessions(std::span{&draft, 1});

    ASSERT_TRUE(added) << added.fault().message;
    const auto row = library.session(session);
    ASSERT_EQ(row->wearings.size(), 3u);
    EXPECT_EQ(row->wearings[2].deviceLabel, "watch");
    EXPECT_EQ(added->front().wearings, std::vector{row->wearings[2].id});
}

TEST_F(Joining, TwiceAddsNothing) {
    auto library = opened();
    const auto session = storeOne(library);
    const auto draft = watchFor(session);
    ASSERT_TRUE(library.addSessions(std::span{&draft, 1}));

    const auto again = library.addSessions(std::span{&draft, 1});

    EXPECT_FALSE(again->front().isNew);
    EXPECT_EQ(library.session(session)->wearings.size(), 3u);
}

TEST_F(Joining, ASessionThatIsNotThereIsAFaultAndNothingIsStored) {
    auto library = opened();
    storeOne(library);
    const std::vector drafts{tests::pairDraft("two", 2), watchFor(library::SessionId{99})};

    const auto added = library.addSessions(drafts);

    ASSERT_FALSE(added);
    EXPECT_EQ(added.fault().code, FaultCode::NotInLibrary);
    EXPECT_EQ(library.allSessions()->size(), 1u);
}

TEST_F(Joining, StoredFilesTellTheirSpanAlsoFromBeforeItWasKept) {
    {
        auto library = opened();
        storeOne(library);
    }
    const auto before = opened().storedFiles();
    tests::rawSql(path(), "UPDATE recording SET begin_us = NULL, end_us = NULL");

    const auto after = opened().storedFiles();

    ASSERT_EQ(after->size(), 2u);
    // pairDraft: one row a second from 1930380000 + seed * 3600, here of seed 2.
    EXPECT_EQ((*before)[0].span->begin.time_since_epoch().count(), 1930387200 * std::int64_t{1000000});
    EXPECT_EQ((*after)[0].span->begin, (*before)[0].span->begin);
    EXPECT_EQ((*after)[0].span->end, (*before)[0].span->end);
}

TEST_F(Joining, WhatAFileSaysOfItsOriginIsKept) {
    auto library = opened();
    auto draft = tests::pairDraft("one", 1);
    auto file = std::make_shared<library::ReadFile>(*draft.wearings[1].recordings[0].file);
    file->read.recording.serial = "4711";
    file->read.recording.firmware = "2.4";
    file->read.recording.sport = "rowing";
    draft.wearings[1].recordings[0].file = file;
    ASSERT_TRUE(library.addSessions(std::span{&draft, 1}));

    const auto loaded = library.loadWearing(library.allSessions()->front().wearings[1]);

    EXPECT_EQ(loaded->recording.serial, "4711");
    EXPECT_EQ(loaded->recording.firmware, "2.4");
    EXPECT_EQ(loaded->recording.sport, "rowing");
}

TEST_F(Joining, KnowledgeHoldsTracesOnlyOfWhatAnOfferOverlaps) {
    auto library = opened();
    storeOne(library);
    const auto later = tests::pairDraft("two", 20);
    ASSERT_TRUE(library.addSessions(std::span{&later, 1}));
    const std::vector offers{library::offered(tests::readText("watch.csv", tests::csvText(2, 100)))};

    const auto knowledge = library::knowledgeOf(library, offers);

    ASSERT_TRUE(knowledge);
    ASSERT_EQ(knowledge->recordings.size(), 4u);
    EXPECT_TRUE(knowledge->recordings[0].trace);
    EXPECT_FALSE(knowledge->recordings[2].trace);
    EXPECT_EQ(knowledge->sessions[0].wearings[0].uses[0].recording, 0u);
}
