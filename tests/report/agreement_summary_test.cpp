// The sentences against the numbers they speak of, over many random projects.

#include "core/report/agreement_summary.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <random>

#include "core/report/agreement_json.h"
#include "tests/evaluation/small_evidence.h"

using namespace beatwitness;
using evaluation::AgreementGroup;
using evaluation::GroupKey;
using evaluation::SessionEvidence;

namespace {

/// A project of 1 to 9 sessions with a bias anywhere, bursts here and there, dropouts, refusals.
std::vector<SessionEvidence> randomProject(unsigned seed) {
    std::mt19937 random{seed};
    std::normal_distribution<double> normal;
    std::uniform_int_distribution<int> sessionsOf{1, 9}, activityOf{0, 1}, one{0, 9};
    const double bias = 2 * normal(random);
    std::vector<SessionEvidence> all;
    const int sessions = sessionsOf(random);
    for (int i = 0; i < sessions; ++i) {
        std::vector<double> reference, test;
        const double own = bias + normal(random);
        const bool constant = one(random) == 0;
        for (int t = 0; t < 60; ++t) {
            reference.push_back(100 + 20 * std::sin(t / 9.0));
            double rate = reference.back() + (constant ? 0 : own + normal(random));
            if (one(random) == 0 && !constant) rate /= 2;
            test.push_back(one(random) == 1 ? 0 : rate);
        }
        all.push_back(tests::evidence(i, "band", activityOf(random) == 0 ? "row" : "walk", reference, test));
        all.back().refused = one(random) == 0;
    }
    return all;
}

std::vector<AgreementGroup> randomGroups(unsigned seed) {
    evaluation::Question question;
    agreement::Criterion criterion;
    criterion.metric = agreement::Metric::Mae;
    criterion.limit = 3;
    question.criteria = {criterion};
    return evaluation::pooledGroups(randomProject(seed), question);
}

bool contains(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST(AgreementSummary, ADirectionIsClaimedOnlyWhereTheIntervalLeavesNoOther) {
    for (unsigned seed = 0; seed < 200; ++seed)
        for (const auto& group : randomGroups(seed)) {
            const auto text = report::agreementSummary(group)[0];
            const auto& ci = group.timeWeighted.bias.ci95;
            EXPECT_EQ(contains(text, "it reads") && contains(text, " low."), ci && ci->upper < 0) << text;
            EXPECT_EQ(contains(text, "it reads") && contains(text, " high."), ci && ci->lower > 0) << text;
            EXPECT_EQ(contains(text, "cannot be told (bias"), ci && ci->lower <= 0 && ci->upper >= 0) << text;
        }
}

TEST(AgreementSummary, NumbersAreThoseOfTheGroup) {
    for (unsigned seed = 0; seed < 200; ++seed)
        for (const auto& group : randomGroups(seed)) {
            const auto sentences = report::agreementSummary(group);
            const auto& figures = group.timeWeighted;
            EXPECT_TRUE(contains(sentences[0], fmt::format("off by {:.1f} bpm", *figures.mae.value)));
            EXPECT_TRUE(contains(sentences[1],
                                 fmt::format("in {:.1f} % of the paired time", *figures.within5Bpm.value)));
            EXPECT_TRUE(contains(sentences[1], fmt::format("measured in {:.1f} %", group.coverage->value)));
            EXPECT_EQ(contains(sentences[1], "could not be aligned"), group.sessionsRefused > 0);
        }
}

TEST(AgreementSummary, IntervalsAreGivenExactlyWhereThereAreAny) {
    for (unsigned seed = 0; seed < 200; ++seed)
        for (const auto& group : randomGroups(seed)) {
            const auto text = report::agreementSummary(group)[0];
            EXPECT_EQ(contains(text, "95 % interval"), group.timeWeighted.mae.ci95.has_value()) << text;
        }
}

TEST(AgreementSummary, TheVerdictIsTheCriterions) {
    for (unsigned seed = 0; seed < 200; ++seed)
        for (const auto& group : randomGroups(seed)) {
            const auto text = report::agreementSummary(group)[2];
            const auto verdict = group.criteria[0].verdict;
            EXPECT_EQ(text.starts_with("It meets"), verdict == agreement::Verdict::Meets);
            EXPECT_EQ(text.starts_with("It does not meet"), verdict == agreement::Verdict::DoesNotMeet);
            EXPECT_EQ(text.starts_with("It cannot be told yet"),
                      verdict == agreement::Verdict::CannotTellYet);
        }
}

TEST(AgreementSummary, WithoutPairsItSaysSo) {
    const auto groups = evaluation::pooledGroups({tests::evidence(1, "band", "row", {100}, {0})}, {});

    EXPECT_TRUE(contains(report::agreementSummary(groups[0])[0], "no second in common"));
}

TEST(AgreementJson, IsValidAndHoldsNoNumberThatIsNone) {
    for (unsigned seed = 0; seed < 60; ++seed) {
        evaluation::Question question;
        question.project = "trial";
        question.margin_bpm = 2;
        question.robustness = agreement::Metric::Ccc;
        evaluation::ProjectAgreement answer;
        answer.evidence = randomProject(seed);
        answer.groups = evaluation::pooledGroups(answer.evidence, question);

        const auto robust =
            evaluation::robustness(answer.evidence, answer.evidence, question, agreement::Metric::Ccc, {});
        const auto text = report::agreementJson({answer, question, "x.library", robust, {}});

        EXPECT_TRUE(nlohmann::json::accept(text)) << seed;
        EXPECT_EQ(text.find("nan"), std::string::npos) << seed;
        EXPECT_EQ(text.find("inf,"), std::string::npos) << seed;
    }
}
