#include "tests/library/library_fixture.h"

using namespace beatwitness;
using trace::Phase;
using trace::PhaseKind;

namespace {

class PhaseStore : public tests::LibraryFixture {
protected:
    library::SessionId stored(library::Library& library) const {
        const auto draft = tests::pairDraft("harbour", 1);
        const auto added = library.addSessions(std::span{&draft, 1});
        EXPECT_TRUE(added);
        return added->front().id;
    }
    static trace::PhasePlan plan() {
        const auto at = [](int second) { return ReferenceTime{std::chrono::seconds{1930380000 + second}}; };
        auto made = trace::levelled({
            Phase{{at(0), at(60)}, PhaseKind::WarmUp, trace::PhaseOrigin::Lap, 0, "easy, \"long\""},
            Phase{{at(10), at(20)}, PhaseKind::Set, trace::PhaseOrigin::Hand, 0, ""},
        });
        EXPECT_TRUE(made);
        return *made;
    }
};

}  // namespace

TEST_F(PhaseStore, PhasesComeBackAsTheyWereGiven) {
    library::SessionId session;
    {
        auto library = opened();
        session = stored(library);
        ASSERT_TRUE(library.setPhases(session, plan()));
    }
    auto library = opened();

    const auto phases = library.phases(session);

    ASSERT_TRUE(phases);
    EXPECT_EQ(*phases, plan());
}

TEST_F(PhaseStore, SettingPhasesTakesThePlaceOfTheOldOnes) {
    auto library = opened();
    const auto session = stored(library);
    ASSERT_TRUE(library.setPhases(session, plan()));

    ASSERT_TRUE(library.setPhases(session, {plan()[1]}));

    EXPECT_EQ(library.phases(session)->size(), 1u);
}

TEST_F(PhaseStore, PinsComeBackByInstant) {
    auto library = opened();
    const auto session = stored(library);
    const std::vector<trace::Pin> pins{{ReferenceTime{Micros{9'000'000}}, "late"},
                                       {ReferenceTime{Micros{-5}}, "shift of the strap"}};

    ASSERT_TRUE(library.setPins(session, pins));

    const auto found = library.pins(session);
    ASSERT_TRUE(found);
    ASSERT_EQ(found->size(), 2u);
    EXPECT_EQ(found->front(), pins[1]);
    EXPECT_EQ(found->back(), pins[0]);
}

TEST_F(PhaseStore, ASessionThatIsNotThereIsRefused) {
    auto library = opened();

    const auto done = library.setPhases(library::SessionId{77}, plan());

    ASSERT_FALSE(done);
    EXPECT_EQ(done.fault().code, FaultCode::NotInLibrary);
}

TEST_F(PhaseStore, PhasesGoWithThePurgedSession) {
    auto library = opened();
    const auto session = stored(library);
    ASSERT_TRUE(library.setPhases(session, plan()));
    ASSERT_TRUE(library.deleteSession(session));

    ASSERT_TRUE(library.purgeDeleted());

    EXPECT_TRUE(library.phases(session)->empty());
}

TEST_F(PhaseStore, APhaseOfAnUnknownKindIsToldAsDamage) {
    library::SessionId session;
    {
        auto library = opened();
        session = stored(library);
        ASSERT_TRUE(library.setPhases(session, plan()));
    }
    tests::rawSql(path(), "UPDATE phase SET kind = 'nap'");
    auto library = opened();

    const auto phases = library.phases(session);

    ASSERT_FALSE(phases);
    EXPECT_EQ(phases.fault().code, FaultCode::LibraryDamaged);
}
