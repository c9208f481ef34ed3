#include "core/evaluation/plan_card.h"

#include <gtest/gtest.h>

#include <set>

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using agreement::Metric;
using agreement::Sense;
using evaluation::PlanCard;

namespace {

class PlanCards : public tests::LibraryFixture {
protected:
    /// A session of band and watch that is still to come.
    void plan(library::Library& library, const std::string& name, const std::string& activity) {
        library::PlannedParticulars planned;
        planned.project = *library.project("trial");
        planned.name = name;
        planned.activity = *library.activity(activity);
        planned.devices = {*library.device("band"), *library.device("watch")};
        ASSERT_TRUE(library.addPlanned(planned));
    }
    static agreement::Criterion mape() { return {Metric::Mape, 5, Sense::AtMost, {}, {}, 0.95, {}}; }
    static PlanCard card(library::Library& library) {
        auto found = evaluation::planCard(library, "trial");
        EXPECT_TRUE(found) << found.fault().message;
        return *found;
    }
};

}  // namespace

TEST_F(PlanCards, CountsWhatIsPlannedByActivityAndDevice) {
    auto library = opened();
    plan(library, "first", "row");
    plan(library, "second", "row");
    plan(library, "third", "walk");

    const auto found = card(library);

    EXPECT_EQ(found.devices, (std::vector<std::string>{"band", "watch"}));
    ASSERT_EQ(found.rows.size(), 2u);
    EXPECT_EQ(found.rows[0].activity, "row");
    EXPECT_EQ(found.rows[0].planned, (std::vector<std::size_t>{2, 2}));
    EXPECT_EQ(found.rows[1].planned, (std::vector<std::size_t>{1, 1}));
    EXPECT_EQ(found.sessionsPlanned, 3u);
    EXPECT_EQ(found.sessionsStillToCome, 3u);
}

TEST_F(PlanCards, WithoutDataNothingSaysWhetherACriterionCameFirst) {
    auto library = opened();
    ASSERT_TRUE(library.addCriterion(*library.project("trial"), mape()));

    EXPECT_FALSE(card(library).requirements.at(0).beforeData);
}

TEST_F(PlanCards, ACriterionSetAfterTheFirstSessionCameAfterData) {
    auto library = opened();
    const auto project = *library.project("trial");
    ASSERT_TRUE(library.addCriterion(project, mape()));
    ASSERT_TRUE(library.addSessions(std::vector{tests::pairDraft("one", 1)}, "trial"));
    ASSERT_TRUE(library.addCriterion(project, mape()));

    const auto found = card(library);

    ASSERT_EQ(found.requirements.size(), 2u);
    EXPECT_EQ(found.requirements[1].beforeData, false)
        << "the recording says 2031, but it was there when the criterion was set";
}

TEST_F(PlanCards, DataOfOtherActivitiesDoesNotCount) {
    auto library = opened();
    ASSERT_TRUE(library.addSessions(std::vector{tests::pairDraft("one", 1)}, "trial"));
    auto criterion = mape();
    criterion.activity = "an activity that nobody did";
    ASSERT_TRUE(library.addCriterion(*library.project("trial"), criterion));

    EXPECT_FALSE(card(library).requirements.at(0).beforeData);
}

TEST_F(PlanCards, RecordingASessionLeavesTheDigestAlone) {
    auto library = opened();
    plan(library, "first", "row");
    const auto before = card(library).digest;
    ASSERT_TRUE(library.addSessions(std::vector{tests::pairDraft("one", 1)}, "trial"));

    EXPECT_EQ(card(library).digest, before);
}

TEST_F(PlanCards, EveryPartOfThePlanMovesTheDigest) {
    auto library = opened();
    const auto project = *library.project("trial");
    std::vector<std::string> digests{card(library).digest};
    plan(library, "first", "row");
    digests.push_back(card(library).digest);
    const auto criterion = *library.addCriterion(project, mape());
    digests.push_back(card(library).digest);
    auto is = *library.particulars(project);
    is.question = "Is the band fit for rowing?";
    const std::vector<library::RowValue> asked{
        library::RowOf<library::ProjectId, library::ProjectParticulars>{project, is}};
    ASSERT_TRUE(library.write(asked, "question"));
    digests.push_back(card(library).digest);
    ASSERT_TRUE(library.withdrawCriterion(criterion));
    digests.push_back(card(library).digest);

    const std::set<std::string> different(digests.begin(), digests.end());

    EXPECT_EQ(different.size(), digests.size());
    EXPECT_EQ(digests[0].size(), 64u);
}
