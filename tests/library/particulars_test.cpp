#include "core/library/particulars.h"

#include <unistd.h>

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using namespace beatwitness::library;

namespace {

class Particulars : public tests::LibraryFixture {
protected:
    Particulars() : library_{opened()} {
        const auto draft = tests::pairDraft("pyramid", 1);
        session_ = library_.addSessions(std::span{&draft, 1})->front().id;
        row_ = *library_.session(session_);
    }

    template <class RowId, class Edit>
    Result<Done> edit(RowId id, Edit change) {
        auto is = library_.particulars(id);
        if (!is) return is.fault();
        change(*is);
        const RowValue value = RowOf<RowId, std::decay_t<decltype(*is)>>{id, *is};
        return library_.write(std::span{&value, 1}, "edited");
    }

    Library library_;
    SessionId session_;
    SessionRow row_;
};

}  // namespace

TEST_F(Particulars, OfASessionComeBackAsTheyWereWritten) {
    SessionParticulars is{
        "north ridge",
        *library_.activity("hill walk"),
        *library_.wearer("B"),
        "wind from the west",
        "Europe/Oslo",
        CountedSpan{RecordingTime{Micros{3}}, RecordingTime{Micros{9}}},
        {"two hours ago", "none", "rested", "none", "outdoors", "4 °C", "steady", "1 s, none"},
        false};
    const RowValue value = RowOf<SessionId, SessionParticulars>{session_, is};

    ASSERT_TRUE(library_.write(std::span{&value, 1}, "all of it"));

    EXPECT_EQ(*library_.particulars(session_), is);
}

TEST_F(Particulars, OfAWearingComeBackAsTheyWereWritten) {
    const auto id = row_.wearings[1].id;
    WearingParticulars is{Role::Context,
                          *library_.device("watch"),
                          {"u2", "3.1", "above the bone", "left", "snug", "row", "below the elbow", "wetted"},
                          WearingOutcome::Failed,
                          "flat battery",
                          {ClockMethod::Offset, Seconds{-2.5}, Ppm{12}},
                          false,
                          session_};
    const RowValue value = RowOf<WearingId, WearingParticulars>{id, is};

    ASSERT_TRUE(library_.write(std::span{&value, 1}, "all of it"));

    EXPECT_EQ(*library_.particulars(id), is);
    EXPECT_EQ(library_.session(session_)->wearings[1].clock, is.clock);
}

TEST_F(Particulars, OfNamedRowsComeBackAsTheyWereWritten) {
    const auto wearer = *library_.wearer("A");
    const auto device = *library_.device("band");
    const WearerParticulars isWearer{"wearer 1", "f", 1988, 171.5, 64.0, 15.5, "III", "left-handed", false};
    const DeviceParticulars isDevice{"bracelet", "PPG", "second make", "green light", 2, false};
    const std::vector<RowValue> values{RowOf<WearerId, WearerParticulars>{wearer, isWearer},
                                       RowOf<DeviceId, DeviceParticulars>{device, isDevice}};

    ASSERT_TRUE(library_.write(values, "both"));

    EXPECT_EQ(*library_.particulars(wearer), isWearer);
    EXPECT_EQ(*library_.particulars(device), isDevice);
}

TEST_F(Particulars, OfAPlanComeBackWithItsDevices) {
    const PlannedParticulars is{*library_.project("band trial"),
                                "8 rounds",
                                *library_.activity("kettlebell circuit"),
                                "2031-03-20",
                                "evening",
                                {*library_.device("band")},
                                session_,
                                false};

    const auto id = library_.addPlanned(is);

    ASSERT_TRUE(id) << id.fault().message;
    EXPECT_EQ(*library_.particulars(*id), is);
    EXPECT_EQ(library_.plan()->size(), 1u);
}

TEST_F(Particulars, AWriteOfSeveralRowsOfWhichOneCannotBeStoredChangesNone) {
    const std::vector<RowValue> values{
        RowOf<ActivityId, ActivityParticulars>{*library_.activity("rowing ergometer"), {"rowing", "", false}},
        RowOf<SessionId, SessionParticulars>{SessionId{999}, {"nowhere"}}};

    const auto done = library_.write(values, "both");

    ASSERT_FALSE(done);
    EXPECT_EQ(done.fault().code, FaultCode::NotInLibrary);
    EXPECT_EQ(library_.particulars(*library_.activity("rowing ergometer"))->label, "rowing ergometer");
}

TEST_F(Particulars, TwoDevicesAreNeverCalledAlike) {
    const auto done = edit(*library_.device("band"), [](auto& is) { is.label = "strap"; });

    ASSERT_FALSE(done);
    EXPECT_EQ(done.fault().code, FaultCode::WrongUsage);
    EXPECT_NE(done.fault().message.find("another device called \"strap\""), std::string::npos);
}

TEST_F(Particulars, ASessionWithoutANameIsRefused) {
    const auto done = edit(session_, [](auto& is) { is.name.clear(); });

    ASSERT_FALSE(done);
    EXPECT_EQ(done.fault().code, FaultCode::WrongUsage);
}

TEST_F(Particulars, StoredValuesUndoAWrite) {
    const auto before = *library_.particulars(session_);
    const std::vector<RowValue> after{RowOf<SessionId, SessionParticulars>{session_, {"renamed"}},
                                      Membership{*library_.findProject(defaultProject), session_, false}};
    const auto undo = library_.stored(after);
    ASSERT_TRUE(undo);
    ASSERT_TRUE(library_.write(after, "rename"));

    ASSERT_TRUE(library_.write(*undo, "undone"));

    EXPECT_EQ(*library_.particulars(session_), before);
    EXPECT_EQ(library_.sessionsOf(*library_.findProject(defaultProject))->size(), 1u);
}

TEST_F(Particulars, EachWriteIsOneEntryOfTheJournal) {
    const auto before = library_.journal()->size();

    ASSERT_TRUE(edit(session_, [](auto& is) { is.name = "renamed"; }));

    const auto journal = *library_.journal();
    ASSERT_EQ(journal.size(), before + 1);
    EXPECT_EQ(journal.back().what, "edited");
    EXPECT_EQ(journal.back().session, session_);
}

TEST_F(Particulars, ADeletedWearingIsListedAndComesBack) {
    const auto id = row_.wearings[1].id;

    ASSERT_TRUE(edit(id, [](auto& is) { is.deleted = true; }));

    EXPECT_EQ(library_.session(session_)->wearings.size(), 1u);
    ASSERT_EQ(library_.deletedRows()->size(), 1u);
    EXPECT_EQ(library_.deletedRows()->front().label, "band in pyramid");
    ASSERT_TRUE(edit(id, [](auto& is) { is.deleted = false; }));
    EXPECT_EQ(library_.session(session_)->wearings.size(), 2u);
}

TEST_F(Particulars, AnAttemptThatFailedIsAddedBehindTheOthers) {
    const auto id = library_.addWearing(
        session_, {Role::Test, *library_.device("watch"), {}, WearingOutcome::Failed, "flat battery"});

    ASSERT_TRUE(id) << id.fault().message;
    const auto wearings = library_.session(session_)->wearings;
    ASSERT_EQ(wearings.size(), 3u);
    EXPECT_EQ(wearings.back().deviceLabel, "watch");
    EXPECT_EQ(wearings.back().reason, "flat battery");
}

TEST_F(Particulars, ThePartThatCountsIsWhatTheReferenceIsCutTo) {
    const auto whole = library_.loadReference(row_);
    ASSERT_TRUE(whole);
    const auto& times = whole->recording.channels.front().times;
    ASSERT_TRUE(edit(session_, [&](auto& is) { is.counted = CountedSpan{times[10], times[19]}; }));

    const auto part = library_.loadReference(*library_.session(session_));

    ASSERT_TRUE(part) << part.fault().message;
    EXPECT_EQ(part->recording.channels.front().times.size(), 10u);  // both ends count
    EXPECT_EQ(part->recording.channels.front().times.front(), times[10]);
}

TEST_F(Particulars, PurgingRemovesADeletedNameOnlyWhereNothingUsesIt) {
    const auto used = *library_.device("band");
    const auto unused = *library_.device("ring");
    for (const auto id : {used, unused})
        ASSERT_TRUE(edit(id, [](auto& is) { is.deleted = true; }));

    ASSERT_TRUE(library_.purgeDeleted());

    EXPECT_TRUE(library_.particulars(used));
    EXPECT_FALSE(library_.particulars(unused));
}

TEST_F(Particulars, ACopyHoldsEverythingInOneFileThatOpensAnywhere) {
    const auto copy = path("copy.library");

    const auto done = library_.saveCopy(copy);

    ASSERT_TRUE(done) << done.fault().message;
    auto opened = Library::open(copy);
    ASSERT_TRUE(opened) << opened.fault().message;
    ASSERT_EQ(opened->allSessions()->size(), 1u);
    EXPECT_TRUE(opened->checkIntegrity());
    EXPECT_TRUE(opened->loadReference(opened->allSessions()->front()));
}

TEST_F(Particulars, ACopyInAFolderThatIsNotThereIsAFaultAndLeavesNothing) {
    const auto done = library_.saveCopy(path("nowhere") / "copy.library");

    EXPECT_FALSE(done);
}

TEST_F(Particulars, ACopyNeverTakesThePlaceOfTheLibraryItself) {
    const auto done = library_.saveCopy(path());

    ASSERT_FALSE(done);
    EXPECT_EQ(done.fault().code, FaultCode::WrongUsage);
    EXPECT_EQ(library_.allSessions()->size(), 1u);
}

TEST_F(Particulars, AReaderCopiesToo) {
    auto reader = Library::open(path(), {.write = false});
    ASSERT_TRUE(reader);

    const auto done = reader->saveCopy(path("copy.library"));

    EXPECT_TRUE(done) << done.fault().message;
}
