#include "core/report/agreement_view.h"

#include <gtest/gtest.h>

#include "tests/evaluation/small_evidence.h"

namespace beatwitness::tests {
namespace {

using namespace report;
using evaluation::SessionEvidence;

/// Band 2 bpm low in every second of three sessions, watch right in two of them.
std::vector<SessionEvidence> lowBand() {
    std::vector<SessionEvidence> all;
    for (const std::int64_t session : {1, 2, 3}) {
        const std::vector<double> reference(60, 100.0 + 20.0 * static_cast<double>(session));
        auto low = reference;
        for (auto& rate : low)
            rate -= 2;
        all.push_back(evidence(session, "band", session == 1 ? "ride" : "row", reference, low));
        if (session < 3)
            all.push_back(evidence(session, "watch", session == 1 ? "ride" : "row", reference, reference));
    }
    return all;
}

AgreementView viewOf(const AgreementAsk& ask, const std::vector<SessionEvidence>& evidence = lowBand()) {
    return agreementView(evidence, choicesIn(evidence), ask, {}, 0);
}

AgreementAsk askOf(AgreementPart part, std::vector<std::string> devices = {}) {
    AgreementAsk ask;
    ask.project = "Harbour Crew";
    ask.devices = {"band", "watch"};
    ask.part = part;
    ask.scope.devices = std::move(devices);
    return ask;
}

TEST(AgreementView, OffersWhatTheEvidenceHolds) {
    const auto choices = choicesIn(lowBand());

    EXPECT_EQ(choices.devices, (std::vector<std::string>{"band", "watch"}));
    EXPECT_EQ(choices.activities, (std::vector<std::string>{"ride", "row"}));
    EXPECT_EQ(choices.ranges, (std::vector<int>{120, 140, 160}));
}

// By hand: the band is 2 bpm low in each of its 180 seconds, the watch right in its 120.
TEST(AgreementView, PoolsEachDeviceOverItsSessions) {
    const auto view = viewOf(askOf(AgreementPart::Map));

    ASSERT_EQ(view.devices.size(), 2U);
    EXPECT_DOUBLE_EQ(*view.devices[0].timeWeighted.bias.value, -2);
    EXPECT_DOUBLE_EQ(*view.devices[1].timeWeighted.mae.value, 0);
    EXPECT_DOUBLE_EQ(view.pairs, 300);
    EXPECT_EQ(view.sessions, 3U);
}

TEST(AgreementView, NeverPoolsTwoDevicesIntoOneMap) {
    const auto both = viewOf(askOf(AgreementPart::Map)), one = viewOf(askOf(AgreementPart::Map, {"band"}));

    EXPECT_TRUE(both.map.empty());
    EXPECT_TRUE(both.scene);
    EXPECT_EQ(one.map.size(), 3U);
}

TEST(AgreementView, ShowsDifferencesOfTwoDevicesOnOneScale) {
    const auto view = viewOf(askOf(AgreementPart::Difference));

    ASSERT_TRUE(view.scene);
    const auto& panels = view.scene->rows.front().panels;
    ASSERT_EQ(panels.size(), 2U);
    EXPECT_DOUBLE_EQ(panels[0].y.lowest, panels[1].y.lowest);
    EXPECT_DOUBLE_EQ(panels[0].x.highest, panels[1].x.highest);
}

TEST(AgreementView, BreaksTheTableDownAsAsked) {
    auto ask = askOf(AgreementPart::Table);
    ask.by = {evaluation::GroupKey::Session};

    const auto view = viewOf(ask);

    EXPECT_EQ(view.table.size(), 5U);
}

TEST(AgreementView, SaysSoWhereNothingIsInScope) {
    auto ask = askOf(AgreementPart::Map);
    ask.scope.activities = {"swim"};

    const auto view = viewOf(ask);

    EXPECT_FALSE(view.nothing.empty());
    EXPECT_TRUE(view.devices.empty());
}

TEST(AgreementView, DrawsTwoReferencesBehindTheDevices) {
    auto all = lowBand();
    all[1].device = "second strap";
    all[1].secondReference = true;

    const auto view = viewOf(askOf(AgreementPart::Distribution), all);

    ASSERT_EQ(view.floor.size(), 1U);
    ASSERT_TRUE(view.scene);
    EXPECT_EQ(view.scene->legend.front().label, "two references");
}

TEST(AgreementView, IsAFigureOnlyWhereAFigureSaysTheSame) {
    auto phases = askOf(AgreementPart::Map, {"band"});
    phases.scope.phases = {"effort"};

    EXPECT_EQ(figureOf(askOf(AgreementPart::Map, {"band"}))->kind, FigureKind::Map);
    EXPECT_EQ(figureOf(askOf(AgreementPart::Map))->kind, FigureKind::SmallMaps);
    EXPECT_FALSE(figureOf(phases));
    EXPECT_FALSE(figureOf(askOf(AgreementPart::Table)));
}

}  // namespace
}  // namespace beatwitness::tests
