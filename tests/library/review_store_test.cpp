#include <signal.h>
#include <unistd.h>

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using namespace beatwitness::library;
using flags::FlaggedTrace;
using flags::FlagKind;
using flags::Verdict;

namespace {

class ReviewStore : public tests::LibraryFixture {
protected:
    static RecordingTime at(std::int64_t seconds) { return RecordingTime{Micros{seconds * 1'000'000}}; }
    static flags::FlagDecision decision(std::int64_t id) {
        flags::FlagDecision is;
        is.id = id;
        is.verdict = Verdict::Relabelled;
        is.on = FlaggedTrace::Test;
        is.kind = FlagKind::Lag;
        is.newKind = FlagKind::MissedRise;
        is.span = {at(10), at(40)};
        is.newSpan = Span<RecordingClock>{at(12), at(44)};
        is.excludes = false;
        is.note = "never followed";
        is.blind = true;
        is.round = 2;
        is.at = Micros{77};
        return is;
    }
    /// One session; the band's decisions are `decisions`.
    SessionId stored(Library& library, std::vector<flags::FlagDecision> decisions) {
        const auto draft = tests::pairDraft("pyramid", 1);
        const auto session = library.addSessions(std::span{&draft, 1}, "trial")->front().id;
        EXPECT_TRUE(write(library, session, std::move(decisions)));
        return session;
    }
    static Result<Done> write(Library& library, SessionId session,
                              std::vector<flags::FlagDecision> decisions) {
        SessionReview review;
        const auto band = library.session(session)->wearings[1].id;
        review.set(band, FlaggedTrace::Test, std::move(decisions));
        review.passes = {{2, true, Micros{3}, Micros{4}}};
        const RowValue row = RowOf<SessionId, SessionReview>{session, review};
        return library.write(std::span{&row, 1}, "decided");
    }
};

}  // namespace

TEST_F(ReviewStore, GivesBackEveryWordOfADecision) {
    auto library = opened();
    const auto session = stored(library, {decision(1), decision(5)});

    const auto review = library.review(session);

    ASSERT_TRUE(review) << review.fault().message;
    EXPECT_EQ(review->wearings.at(0).decisions, (std::vector{decision(1), decision(5)}));
    EXPECT_EQ(review->passes, (std::vector<flags::ReviewPass>{{2, true, Micros{3}, Micros{4}}}));
    EXPECT_EQ(review->nextId(), 6);
}

TEST_F(ReviewStore, UndoingIsWritingWhatWasStored) {
    auto library = opened();
    const auto session = stored(library, {decision(1)});
    const RowValue next = RowOf<SessionId, SessionReview>{session, {}};
    const auto before = *library.stored(std::span{&next, 1});
    ASSERT_TRUE(library.write(std::span{&next, 1}, "emptied"));
    ASSERT_TRUE(library.review(session)->wearings.empty());

    ASSERT_TRUE(library.write(before, "undone"));

    EXPECT_EQ(library.review(session)->wearings.at(0).decisions, std::vector{decision(1)});
}

TEST_F(ReviewStore, ACopyHoldsTheDecisions) {
    auto library = opened();
    const auto session = stored(library, {decision(1)});

    ASSERT_TRUE(library.saveCopy(path("copy.library")));

    auto copy = Library::open(path("copy.library"), {.write = false});
    EXPECT_EQ(copy->review(session)->wearings.at(0).decisions, std::vector{decision(1)});
}

TEST_F(ReviewStore, AKilledProgramKeepsEveryDecisionThatWasStored) {
    SessionId session;
    {
        auto library = opened();
        session = stored(library, {});
    }

    const int returned = tests::inChild([&] {
        auto library = opened();
        if (!write(library, session, {decision(1)})) return 1;
        ::kill(::getpid(), SIGKILL);
        return 0;
    });

    EXPECT_EQ(returned, -1) << "it was killed";
    auto library = opened();
    EXPECT_EQ(library.review(session)->wearings.at(0).decisions, std::vector{decision(1)});
}

TEST_F(ReviewStore, RefusesADecisionOnAWearingOfAnotherSession) {
    auto library = opened();
    const auto session = stored(library, {});
    SessionReview review;
    review.set(WearingId{999}, FlaggedTrace::Test, {decision(1)});
    const RowValue row = RowOf<SessionId, SessionReview>{session, review};

    const auto done = library.write(std::span{&row, 1}, "decided");

    ASSERT_FALSE(done);
    EXPECT_EQ(done.fault().code, FaultCode::WrongUsage);
}

TEST_F(ReviewStore, ADecisionInForceIsAmongTheInputsOfTheAnalysis) {
    auto library = opened();
    const auto session = stored(library, {});
    const auto before = library.inputsOf(*library.findProject("trial"))->at(0);

    ASSERT_TRUE(write(library, session, {decision(1)}));
    const auto after = library.inputsOf(*library.findProject("trial"))->at(0);

    EXPECT_EQ(after.text, before.text);
    EXPECT_NE(after.decisions, before.decisions);
}

TEST_F(ReviewStore, AProjectKeepsTheThresholdsThatItChanged) {
    auto library = opened();
    const auto project = *library.project("trial");
    auto is = *library.particulars(project);
    is.thresholds = {{"max_gap_s", 12.5}};
    const RowValue row = RowOf<ProjectId, ProjectParticulars>{project, is};

    ASSERT_TRUE(library.write(std::span{&row, 1}, "changed"));

    EXPECT_EQ(*library.particulars(project), is);
}
