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

TEST_F(KeptAnswers, AnUndoneCriterionCountsAsNeverSet) {
    auto library = opened();
    const auto project = *library.project("trial");
    const auto id = *library.addCriterion(project, mape(5));
    auto is = *library.particulars(id);
    is.deleted = true;

    const std::vector<library::RowValue> undone{
        library::RowOf<library::CriterionId, library::CriterionParticulars>{id, is}};
    ASSERT_TRUE(library.write(undone, "undone"));

    EXPECT_TRUE(library.criteria(project)->empty());
    EXPECT_TRUE(library.allCriteria()->empty());
}

TEST_F(KeptAnswers, WhatACriterionRequiresIsNeverWrittenOver) {
    auto library = opened();
    const auto id = *library.addCriterion(*library.project("trial"), mape(5));
    auto is = *library.particulars(id);
    is.criterion.limit = 50;
    is.withdrawnAt = Micros{9};

    const std::vector<library::RowValue> changed{
        library::RowOf<library::CriterionId, library::CriterionParticulars>{id, is}};
    ASSERT_TRUE(library.write(changed, "changed"));

    EXPECT_EQ(library.particulars(id)->criterion.limit, 5);
    EXPECT_EQ(library.particulars(id)->withdrawnAt, Micros{9});
}

TEST_F(KeptAnswers, ACriterionSetInsteadWithdrawsTheOtherInOneStep) {
    auto library = opened();
    const auto project = *library.project("trial");
    const auto old = *library.addCriterion(project, mape(5));
    auto withdrawn = *library.particulars(old);
    withdrawn.withdrawnAt = Micros{7};
    const std::vector<library::RowValue> instead{
        library::RowOf<library::CriterionId, library::CriterionParticulars>{old, withdrawn}};

    ASSERT_TRUE(library.addCriterion(project, mape(4), instead));

    const auto criteria = *library.criteria(project);
    ASSERT_EQ(criteria.size(), 2u);
    EXPECT_TRUE(criteria[0].withdrawnAt);
    EXPECT_FALSE(criteria[1].withdrawnAt);
    EXPECT_EQ(library.addCriterion(project, mape(-1), instead).fault().code, FaultCode::WrongUsage);
}

TEST_F(KeptAnswers, ComparisonsComeBackByName) {
    auto library = opened();
    const auto project = *library.project("trial");
    ASSERT_TRUE(
        library.addComparison({project, "versions", "band firmware 2.4", "band firmware 2.5", "x=1\n"}));
    ASSERT_TRUE(library.addComparison({project, "devices", "band", "watch", {}}));

    const auto kept = *library.allComparisons();

    ASSERT_EQ(kept.size(), 2u);
    EXPECT_EQ(kept[0].is.label, "devices");
    EXPECT_EQ(kept[1].is, (library::ComparisonParticulars{project, "versions", "band firmware 2.4",
                                                          "band firmware 2.5", "x=1\n"}));
}

TEST_F(KeptAnswers, TwoComparisonsOfOneNameAreRefused) {
    auto library = opened();
    const auto project = *library.project("trial");
    ASSERT_TRUE(library.addComparison({project, "devices", "band", "watch", {}}));

    const auto again = library.addComparison({project, "devices", "watch", "band", {}});

    ASSERT_FALSE(again);
    EXPECT_EQ(again.fault().code, FaultCode::WrongUsage);
    EXPECT_EQ(library.allComparisons()->size(), 1u);
    EXPECT_TRUE(library.addComparison({*library.project("another"), "devices", "band", "watch", {}}));
}

TEST_F(KeptAnswers, ADeletedComparisonIsListedAndComesBack) {
    auto library = opened();
    const auto id = *library.addComparison({*library.project("trial"), "devices", "band", "watch", {}});
    auto is = *library.particulars(id);
    using Row = library::RowOf<library::ComparisonId, library::ComparisonParticulars>;
    is.deleted = true;
    ASSERT_TRUE(library.write(std::vector<library::RowValue>{Row{id, is}}, "deleted"));

    EXPECT_TRUE(library.allComparisons()->empty());
    ASSERT_EQ(library.deletedRows()->size(), 1u);
    is.deleted = false;
    ASSERT_TRUE(library.write(std::vector<library::RowValue>{Row{id, is}}, "restored"));
    EXPECT_EQ(library.allComparisons()->size(), 1u);
}
