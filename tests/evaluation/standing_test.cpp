// Limits of a group, how a figure stands up, and editions.

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "core/evaluation/edition.h"
#include "core/evaluation/project_agreement.h"
#include "core/evaluation/robustness.h"
#include "tests/evaluation/small_evidence.h"

using namespace beatwitness;
using evaluation::Clock;
using evaluation::GroupKey;
using evaluation::Question;
using evaluation::SessionEvidence;
using tests::evidence;

namespace {

/// `k` sessions of 120 s whose errors differ between and within sessions.
std::vector<SessionEvidence> sessions(int k) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < k; ++i) {
        std::vector<double> reference, test;
        for (int t = 0; t < 120; ++t) {
            reference.push_back(100 + 40 * std::sin(t / 20.0));
            test.push_back(reference.back() + i % 3 + 2 * std::sin(t * 1.7 + i));
        }
        all.push_back(evidence(i + 1, "band", "row", reference, test));
    }
    return all;
}

Question byDevice() {
    Question question;
    question.by = {GroupKey::Device};
    return question;
}

evaluation::GroupLimits limitsOf(const std::vector<SessionEvidence>& all) {
    return evaluation::pooledGroups(all, byDevice())[0].limits;
}

evaluation::ProjectAgreement answerOf(const std::vector<SessionEvidence>& all) {
    evaluation::ProjectAgreement answer;
    answer.groups = evaluation::pooledGroups(all, byDevice());
    return answer;
}

}  // namespace

TEST(GroupLimits, OneSessionShowsLimitsWithoutAnInterval) {
    const auto limits = limitsOf(sessions(1));

    EXPECT_EQ(limits.shown, "simple");
    EXPECT_FALSE(limits.chosen()->lower.ci95);
    EXPECT_FALSE(limits.mover);
}

TEST(GroupLimits, FewSessionsShowMover) {
    const auto limits = limitsOf(sessions(4));

    EXPECT_EQ(limits.shown, "repeated_pairs_mover");
    EXPECT_FALSE(limits.bootstrap);
    EXPECT_TRUE(limits.chosen()->upper.ci95);
}

TEST(GroupLimits, OfMoverAndBootstrapTheWiderIsShown) {
    const auto limits = limitsOf(sessions(7));

    const auto width = [](const agreement::Limits& l) { return l.upper.ci95->upper - l.lower.ci95->lower; };
    ASSERT_TRUE(limits.bootstrap);
    const double shown = width(*limits.chosen());
    EXPECT_EQ(shown, std::max(width(limits.mover->limits), width(limits.bootstrap->limits)));
}

TEST(GroupLimits, OnePairASessionShowsTheExactInterval) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < 5; ++i)
        all.push_back(evidence(i, "band", "row", {100}, {100.0 + i}));

    const auto limits = limitsOf(all);

    EXPECT_EQ(limits.shown, "exact");
    EXPECT_TRUE(limits.chosen()->lower.ci95);
}

TEST(GroupLimits, ErrorsWithoutSpreadAreSaidToHaveNone) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < 3; ++i)
        all.push_back(evidence(i, "band", "row", {100, 110, 120}, {103, 113, 123}));

    const auto limits = limitsOf(all);

    EXPECT_TRUE(limits.degenerate);
    EXPECT_DOUBLE_EQ(limits.chosen()->lower.value, 3);
    EXPECT_DOUBLE_EQ(limits.chosen()->upper.value, 3);
}

TEST(GroupLimits, BurstsAskForThePercentiles) {
    auto all = sessions(3);
    auto burst = *all[0].aligned.seconds;
    for (int t = 0; t < 4; ++t)
        burst.test[static_cast<std::size_t>(t)] /= 2;
    all[0].aligned = evaluation::clockEvidence(burst);

    EXPECT_NE(limitsOf(all).because.find("read the percentiles"), std::string::npos);
}

TEST(Attribution, RowsOfAGroupAddUpToItsMeanAbsoluteError) {
    auto all = sessions(4);
    auto flagged = *all[0].aligned.seconds;
    for (std::size_t t = 10; t < 30; ++t) {
        flagged.flag[t] = 3;
        flagged.test[t] = flagged.reference[t] / 2;
    }
    all[0].aligned = evaluation::clockEvidence(flagged);

    const auto group = evaluation::pooledGroups(all, byDevice())[0];

    double sum = 0;
    for (const auto& row : group.attribution)
        sum += row.contribution.value;
    EXPECT_NEAR(sum, *group.timeWeighted.mae.value, 1e-9);
    EXPECT_EQ(group.attribution[0].kind, "half-rate");
    EXPECT_EQ(group.attribution[0].seconds, 20);
}

// Two clocks, five epochs, two choices of reference faults; then each of four sessions left out.
TEST(Robustness, EveryChoiceHasARow) {
    const auto all = sessions(4);

    const auto found = evaluation::robustness(all, all, byDevice(), agreement::Metric::Mae, {});

    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].rows.size(), 2u * 5 * 2 + 4);
    EXPECT_EQ(std::ranges::count_if(found[0].rows, &evaluation::RobustnessRow::chosen), 1);
}

TEST(Robustness, TheChosenRowIsTheGroupsFigure) {
    const auto all = sessions(4);

    const auto found = evaluation::robustness(all, all, byDevice(), agreement::Metric::Mae, {});

    const auto chosen = std::ranges::find_if(found[0].rows, &evaluation::RobustnessRow::chosen);
    EXPECT_EQ(chosen->figure.value, evaluation::pooledGroups(all, byDevice())[0].timeWeighted.mae.value);
}

TEST(Robustness, LeavingOutASessionIsPoolingTheOthers) {
    auto all = sessions(4);
    const auto found = evaluation::robustness(all, all, byDevice(), agreement::Metric::Mae, {});

    all.erase(all.begin() + 1);

    const auto row = std::ranges::find(found[0].rows, "session 2", &evaluation::RobustnessRow::without);
    ASSERT_NE(row, found[0].rows.end());
    EXPECT_EQ(row->figure.value, evaluation::pooledGroups(all, byDevice())[0].timeWeighted.mae.value);
}

TEST(Robustness, ACriterionGivesEveryRowAVerdict) {
    const auto all = sessions(4);
    agreement::Criterion criterion;
    criterion.metric = agreement::Metric::Mae;
    criterion.limit = 50;

    const auto found = evaluation::robustness(all, all, byDevice(), agreement::Metric::Mae, {criterion});

    for (const auto& row : found[0].rows)
        EXPECT_EQ(row.verdict, agreement::Verdict::Meets);
    EXPECT_EQ(found[0].oneVerdict, true);
}

TEST(Pooling, TheOrderOfSessionsChangesNothing) {
    auto all = sessions(9);
    const auto before = evaluation::pooledGroups(all, byDevice())[0];
    std::ranges::reverse(all);

    const auto after = evaluation::pooledGroups(all, byDevice())[0];

    for (const auto& facts : agreement::metrics()) {
        EXPECT_EQ(before.timeWeighted.of(facts.metric).value, after.timeWeighted.of(facts.metric).value);
        ASSERT_EQ(before.timeWeighted.of(facts.metric).ci95.has_value(),
                  after.timeWeighted.of(facts.metric).ci95.has_value());
        EXPECT_EQ(before.timeWeighted.of(facts.metric).ci95.value_or(agreement::Interval{}).lower,
                  after.timeWeighted.of(facts.metric).ci95.value_or(agreement::Interval{}).lower)
            << facts.key;
    }
}

TEST(Editions, TheQuestionComesBackAsItWasAsked) {
    Question question;
    question.devices = {"band"};
    question.activities = {"hill walk", "rest"};
    question.phases = {"set"};
    question.by = {GroupKey::Phase, GroupKey::Device};
    question.compare = {{"band", "watch"}};
    question.epoch_s = 5;
    question.excludeReferenceFaults = false;
    question.against = evaluation::Against::Mean;
    question.margin_bpm = 2.5;

    const auto text = evaluation::questionText(question);

    EXPECT_EQ(evaluation::questionText(evaluation::questionOf(text)), text);
    EXPECT_EQ(evaluation::questionOf(text).compare[0].b, "watch");
    EXPECT_EQ(evaluation::questionOf(text).by, question.by);
}

TEST(Editions, ChangedNumbersAreListedWithTheirReason) {
    auto all = sessions(4);
    library::Edition then{"one", {}, "program", 1, "q", "c", "s", "", "1=a\n2=b\n", {}}, now = then;
    then.numbers = evaluation::numbersOf(answerOf(all));
    all.pop_back();
    now.numbers = evaluation::numbersOf(answerOf(all));
    now.data = "1=a\n";

    const auto changes = evaluation::changesSince(then, now);

    EXPECT_TRUE(changes.data);
    EXPECT_FALSE(changes.settings);
    ASSERT_EQ(changes.because.size(), 1u);
    EXPECT_EQ(changes.because[0], "sessions: 0 came, 1 went, 0 changed");
    const auto sessionsRow = std::ranges::find(changes.changes, "device band | aligned | sessions",
                                               &evaluation::NumberChange::key);
    ASSERT_NE(sessionsRow, changes.changes.end());
    EXPECT_EQ(sessionsRow->then, 4);
    EXPECT_EQ(sessionsRow->now, 3);
}

TEST(Editions, NothingChangedIsSaid) {
    library::Edition then{"one", {}, "program", 1, "q", "c", "s", "", "d", {}};
    then.numbers = evaluation::numbersOf(answerOf(sessions(3)));

    const auto changes = evaluation::changesSince(then, then);

    EXPECT_TRUE(changes.changes.empty());
    EXPECT_EQ(changes.unchanged, then.numbers.size());
    EXPECT_EQ(changes.because, std::vector<std::string>{"nothing changed"});
}

TEST(Editions, EveryNumberHasAKeyOfItsOwn) {
    const auto numbers = evaluation::numbersOf(answerOf(sessions(3)));

    std::set<std::string> keys;
    for (const auto& number : numbers)
        EXPECT_TRUE(keys.insert(number.key).second) << number.key;
    EXPECT_GT(keys.size(), 60u);
}
