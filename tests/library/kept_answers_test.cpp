// Criteria, editions and outcomes in the library.

#include "core/library/library.h"

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using agreement::Criterion;
using library::Edition;

namespace {

class KeptAnswers : public tests::LibraryFixture {
protected:
    static Criterion mape(double limit) {
        Criterion criterion;
        criterion.metric = agreement::Metric::Mape;
        criterion.limit = limit;
        criterion.activity = "hill walk";
        criterion.setAt = Micros{123456789};
        return criterion;
    }
    static Edition edition(std::string label) {
        return {std::move(label),
                Micros{5},
                "program 1",
                3,
                "q",
                "c",
                "s",
                "d",
                "data",
                {{"a", 1.5}, {"b", std::nullopt}}};
    }
};

}  // namespace

TEST_F(KeptAnswers, CriteriaComeBackAsTheyWereSet) {
    auto library = opened();
    const auto project = *library.project("trial");
    ASSERT_TRUE(library.addCriterion(project, mape(5)));

    const auto criteria = *library.criteria(project);

    ASSERT_EQ(criteria.size(), 1u);
    EXPECT_EQ(criteria[0].criterion.metric, agreement::Metric::Mape);
    EXPECT_EQ(criteria[0].criterion.limit, 5);
    EXPECT_EQ(criteria[0].criterion.activity, "hill walk");
    EXPECT_EQ(criteria[0].criterion.setAt, Micros{123456789});
    EXPECT_FALSE(criteria[0].withdrawnAt);
}

TEST_F(KeptAnswers, AWithdrawnCriterionStaysWithItsInstant) {
    auto library = opened();
    const auto project = *library.project("trial");
    const auto id = *library.addCriterion(project, mape(5));

    ASSERT_TRUE(library.withdrawCriterion(id));

    EXPECT_TRUE(library.criteria(project)->at(0).withdrawnAt);
    EXPECT_EQ(library.withdrawCriterion(id).fault().code, FaultCode::NotInLibrary);
}

TEST_F(KeptAnswers, ACriterionWithoutAnInstantIsSetNow) {
    auto library = opened();
    const auto project = *library.project("trial");
    auto criterion = mape(5);
    criterion.setAt.reset();
    const auto before = library::now();

    ASSERT_TRUE(library.addCriterion(project, criterion));

    EXPECT_GE(*library.criteria(project)->at(0).criterion.setAt, before);
}

TEST_F(KeptAnswers, ACriterionOfNoSenseIsRefused) {
    auto library = opened();

    const auto added = library.addCriterion(*library.project("trial"), mape(-1));

    ASSERT_FALSE(added);
    EXPECT_EQ(added.fault().code, FaultCode::WrongUsage);
}

TEST_F(KeptAnswers, EditionsComeBackNumberByNumber) {
    auto library = opened();
    const auto project = *library.project("trial");
    ASSERT_TRUE(library.freezeEdition(project, edition("spring")));

    const auto found = library.edition(project, "spring");

    ASSERT_TRUE(found);
    EXPECT_EQ(found->numbers, edition("spring").numbers);
    EXPECT_EQ(found->analysisVersion, 3);
    EXPECT_EQ(found->data, "data");
    EXPECT_EQ(library.editions(project)->size(), 1u);
}

TEST_F(KeptAnswers, WhatIsFrozenStays) {
    auto library = opened();
    const auto project = *library.project("trial");
    ASSERT_TRUE(library.freezeEdition(project, edition("spring")));
    auto other = edition("spring");
    other.numbers[0].value = 2;

    const auto again = library.freezeEdition(project, other);

    ASSERT_FALSE(again);
    EXPECT_EQ(again.fault().code, FaultCode::WrongUsage);
    EXPECT_EQ(library.edition(project, "spring")->numbers[0].value, 1.5);
}

TEST_F(KeptAnswers, AnEditionThatIsNotThereIsSaid) {
    auto library = opened();

    EXPECT_EQ(library.edition(*library.project("trial"), "autumn").fault().code, FaultCode::NotInLibrary);
}

TEST_F(KeptAnswers, OutcomesGoWithTheirSession) {
    auto library = opened();
    const auto draft = tests::pairDraft("one", 1);
    const auto added = library.addSessions(std::span{&draft, 1}, "trial");
    ASSERT_TRUE(added);
    const auto row = library.allSessions()->at(0);
    library::StoredOutcome outcome{row.wearings[1].id, true, "stamp", {}};
    outcome.outcome.hasHeartRate = true;
    outcome.outcome.offset = Seconds{0.1};
    outcome.outcome.aligned.sums.error = 1.0 / 3;
    outcome.outcome.flags = {{}};
    outcome.outcome.flags[0].kind = flags::FlagKind::Lag;
    outcome.outcome.flags[0].excluded = true;
    outcome.outcome.flags[0].span = {sessionTime(1.5), sessionTime(2.5)};
    ASSERT_TRUE(library.storeOutcomes(std::span{&outcome, 1}));

    const auto kept = library.outcomesOf(*library.findProject("trial"))->at(0);
    ASSERT_TRUE(library.deleteSession(row.id));
    ASSERT_TRUE(library.purgeDeleted());

    EXPECT_EQ(kept.outcome.aligned.sums.error, 1.0 / 3);
    EXPECT_EQ(kept.outcome.offset.value, 0.1);
    EXPECT_EQ(kept.outcome.flags[0].kind, flags::FlagKind::Lag);
    EXPECT_TRUE(kept.outcome.flags[0].excluded);
    EXPECT_EQ(secondsOf(kept.outcome.flags[0].span.end), 2.5);
    EXPECT_EQ(tests::rawSql(path(), "SELECT count(*) FROM outcome"), "0");
}
