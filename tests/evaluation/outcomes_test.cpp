#include "core/evaluation/outcomes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/evaluation/project_agreement.h"
#include "tests/library/library_fixture.h"

using namespace beatwitness;
using library::Role;
using library::SessionDraft;
using library::StoredOutcome;

namespace {

/// A workout with enough changes to be aligned; the device is 2 bpm high and its clock 7 s behind.
std::string workout(std::uint64_t day, double bias_bpm, int behind_s) {
    std::string text = "timestamp,hr\n";
    for (int t = 0; t < 1500; ++t) {
        const double rate = 90 + 50 / (1 + std::exp(-(t - 200) / 20.0)) -
                            40 / (1 + std::exp(-(t - 600) / 35.0)) + 45 / (1 + std::exp(-(t - 900) / 25.0)) -
                            40 / (1 + std::exp(-(t - 1200) / 30.0));
        if (t > 700 && t < 730) continue;
        text += fmt::format("{},{}\n", 1930380000 + 86400 * static_cast<int>(day) + t - behind_s,
                            std::lround(rate + bias_bpm));
    }
    return text;
}

SessionDraft session(std::uint64_t day) {
    SessionDraft draft{fmt::format("day {}", day), "rowing ergometer", "Ada", "", {}};
    const auto wearing = [&](Role role, std::string device, double bias, int behind) {
        const auto name = fmt::format("{}-{}.csv", device, day);
        draft.wearings.push_back({role,
                                  device,
                                  {},
                                  library::WearingOutcome::Recorded,
                                  "",
                                  {{tests::readText(name, workout(day, bias, behind)), std::nullopt}}});
    };
    wearing(Role::Reference, "strap", 0, 0);
    wearing(Role::Test, "band", 2, 7);
    wearing(Role::Reference, "second strap", 1, 0);
    return draft;
}

class Outcomes : public tests::LibraryFixture {
protected:
    library::Library withTwoSessions() {
        auto library = opened();
        const std::vector drafts{session(1), session(2)};
        EXPECT_TRUE(library.addSessions(drafts, "trial"));
        return library;
    }
    static std::vector<StoredOutcome> filled(library::Library& library) {
        std::vector<StoredOutcome> all;
        const auto done = evaluation::fillOutcomes(
            library, *library.findProject("trial"), true,
            [&](const auto& outcomes) { all.insert(all.end(), outcomes.begin(), outcomes.end()); });
        EXPECT_TRUE(done);
        return all;
    }
};

}  // namespace

TEST_F(Outcomes, PairsUnderAKeptOutcomeAreThoseOfTheAnalysis) {
    auto library = withTwoSessions();
    const auto row = library.allSessions()->at(0);
    const auto reference = *library.loadWearing(row.wearings[0]),
               band = *library.loadWearing(row.wearings[1]);
    const auto analysed = analysis::analyseSession(reference, {band}, {});
    ASSERT_TRUE(analysed);
    ASSERT_TRUE(library.storeOutcomes(filled(library)));

    const auto kept = evaluation::KeptOutcomes::of(library, *library.findProject("trial"), true);
    const auto pairs = analysis::pairsUnder(*kept->find(row.id, row.wearings[1].id),
                                            *analysis::referenceSecondsOf(reference), band);

    const auto& expected = analysed->tests[0].aligned->pairs;
    ASSERT_TRUE(analysed->tests[0].aligned);
    std::vector<double> tests, expectedTests;
    for (std::size_t i = 0; i < pairs.aligned.size(); ++i)
        if (pairs.aligned.paired[i] != 0) tests.push_back(pairs.aligned.test[i]);
    for (const auto rate : expected.test)
        expectedTests.push_back(rate.value);
    EXPECT_EQ(tests, expectedTests);
    EXPECT_EQ(pairs.aligned.size(), expected.referenceSeconds);
}

TEST_F(Outcomes, AWorkersOutcomesMakeTheHeadlines) {
    auto library = withTwoSessions();
    const auto project = *library.findProject("trial");
    EXPECT_TRUE(evaluation::cachedHeadlines(library, project)->empty());

    ASSERT_TRUE(library.storeOutcomes(filled(library)));
    const auto headlines = *evaluation::cachedHeadlines(library, project);

    ASSERT_EQ(headlines.size(), 4u);
    EXPECT_FALSE(headlines[0].refused);
    EXPECT_FALSE(headlines[0].secondReference);
    EXPECT_TRUE(headlines[1].secondReference);
    EXPECT_NEAR(*headlines[0].value(agreement::Metric::Bias), 2.0, 0.3);
    EXPECT_NEAR(*headlines[1].value(agreement::Metric::Bias), 1.0, 0.3);
}

TEST_F(Outcomes, WhatIsKeptIsNotWorkedOutAgain) {
    auto library = withTwoSessions();
    const auto first = filled(library);
    ASSERT_TRUE(library.storeOutcomes(first));

    EXPECT_EQ(first.size(), 4u);
    EXPECT_TRUE(filled(library).empty());
}

TEST_F(Outcomes, OutcomesOfAnotherStampAreOld) {
    auto library = withTwoSessions();
    auto outcomes = filled(library);
    outcomes[0].stamp = "of an older program";
    ASSERT_TRUE(library.storeOutcomes(outcomes));

    EXPECT_EQ(evaluation::cachedHeadlines(library, *library.findProject("trial"))->size(), 3u);
    EXPECT_EQ(filled(library).size(), 2u) << "the session of the old outcome is analysed as a whole";
}

TEST_F(Outcomes, KeptOutcomesGiveTheNumbersOfFreshOnes) {
    auto library = withTwoSessions();
    evaluation::Question question;
    question.project = "trial";
    const auto fresh = evaluation::projectAgreement(library, question);
    ASSERT_TRUE(fresh);
    ASSERT_EQ(fresh->fresh.size(), 4u);
    ASSERT_TRUE(library.storeOutcomes(fresh->fresh));

    const auto kept = evaluation::projectAgreement(library, question);

    EXPECT_TRUE(kept->fresh.empty());
    for (const auto& facts : agreement::metrics())
        EXPECT_EQ(kept->groups[0].timeWeighted.of(facts.metric).value,
                  fresh->groups[0].timeWeighted.of(facts.metric).value)
            << facts.key;
    EXPECT_EQ(kept->groups[0].independentSeconds, fresh->groups[0].independentSeconds);
}

TEST_F(Outcomes, SecondsInsideAStoredPhaseAreGrouped) {
    auto library = withTwoSessions();
    const auto row = library.allSessions()->at(0);
    const ReferenceTime t0{*row.start};
    ASSERT_TRUE(library.setPhases(row.id, {{{t0 + std::chrono::seconds{100}, t0 + std::chrono::seconds{160}},
                                            trace::PhaseKind::Set,
                                            trace::PhaseOrigin::Hand,
                                            0,
                                            "first"}}));
    evaluation::Question question;
    question.project = "trial";
    question.by = {evaluation::GroupKey::Phase};

    const auto answer = evaluation::projectAgreement(library, question);

    ASSERT_EQ(answer->groups.size(), 2u);
    EXPECT_EQ(answer->groups[0].by[0].second, "first");
    EXPECT_EQ(answer->groups[0].pairs, 60);
}

TEST_F(Outcomes, AStretchOfTheReferenceFlaggedByHandLeavesTheAgreement) {
    auto library = withTwoSessions();
    const auto row = library.allSessions()->at(0);
    const auto reference = *library.loadReference(row);
    const auto start = trace::traceOf(reference.recording).times.front();
    flags::FlagDecision decision;
    decision.id = 1;
    decision.verdict = flags::Verdict::Added;
    decision.on = flags::FlaggedTrace::Reference;
    decision.kind = flags::FlagKind::Stuck;
    // By hand: seconds 300 to 399 of the session, both ends counted.
    decision.span = {start + std::chrono::seconds{300}, start + std::chrono::seconds{399}};
    decision.excludes = true;
    library::SessionReview review;
    review.set(row.wearings[0].id, flags::FlaggedTrace::Reference, {decision});
    const library::RowValue value =
        library::RowOf<library::SessionId, library::SessionReview>{row.id, review};
    ASSERT_TRUE(library.write(std::span{&value, 1}, "decided"));

    const auto outcomes = filled(library);

    const auto band = std::ranges::find(outcomes, row.wearings[1].id, &StoredOutcome::wearing);
    ASSERT_NE(band, outcomes.end());
    EXPECT_EQ(band->outcome.excludedSeconds, 100);
    EXPECT_EQ(band->outcome.referenceFlagsByHand, 1);
}

TEST_F(Outcomes, ADecisionMakesKeptOutcomesOldForItsSessionAlone) {
    auto library = withTwoSessions();
    ASSERT_TRUE(library.storeOutcomes(filled(library)));
    const auto rows = *library.allSessions();
    flags::FlagDecision decision;
    decision.id = 1;
    library::SessionReview review;
    review.set(rows[0].wearings[1].id, flags::FlaggedTrace::Test, {decision});
    const library::RowValue value =
        library::RowOf<library::SessionId, library::SessionReview>{rows[0].id, review};

    ASSERT_TRUE(library.write(std::span{&value, 1}, "decided"));
    const auto kept = *evaluation::KeptOutcomes::of(library, *library.findProject("trial"), true);

    EXPECT_FALSE(kept.holds(rows[0]));
    EXPECT_TRUE(kept.holds(rows[1]));
}

TEST_F(Outcomes, OfOtherThresholdsAreKeptBesideEachOther) {
    auto library = withTwoSessions();
    ASSERT_TRUE(library.storeOutcomes(filled(library)));
    const auto project = *library.findProject("trial");
    auto is = *library.particulars(project);
    const auto standard = is;
    is.thresholds = {{"alignment_smoothing_s", 4}};
    const auto write = [&](const library::ProjectParticulars& next) {
        const library::RowValue row =
            library::RowOf<library::ProjectId, library::ProjectParticulars>{project, next};
        return library.write(std::span{&row, 1}, "thresholds");
    };
    ASSERT_TRUE(write(is));
    const auto row = library.allSessions()->at(0);
    ASSERT_FALSE(evaluation::KeptOutcomes::of(library, project, true)->holds(row));

    ASSERT_TRUE(library.storeOutcomes(filled(library)));
    ASSERT_TRUE(evaluation::KeptOutcomes::of(library, project, true)->holds(row));
    ASSERT_TRUE(write(standard));

    EXPECT_TRUE(evaluation::KeptOutcomes::of(library, project, true)->holds(row));
}
