#include "core/report/figures/compared_view.h"

#include <gtest/gtest.h>

#include "tests/evaluation/small_evidence.h"

using namespace beatwitness;
using evaluation::SessionEvidence;
using report::ComparedAsk;

namespace {

/// Band and watch in two sessions of rowing and two of walking; the band reads high by the session's number.
std::vector<SessionEvidence> bothDevices() {
    std::vector<SessionEvidence> all;
    for (int i = 1; i <= 4; ++i)
        for (const auto* device : {"band", "watch"}) {
            const double error = std::string_view{device} == "band" ? i : 1;
            all.push_back(
                tests::evidence(i, device, i <= 2 ? "row" : "walk", {100, 110}, {100 + error, 110 + error}));
            all.back().start = Micros{std::int64_t{i} * 86'400'000'000};
        }
    return all;
}

report::ComparedView viewOf(const ComparedAsk& ask) {
    auto view = report::comparedView(bothDevices(), ask, {}, 0);
    EXPECT_TRUE(view);
    return *view;
}

}  // namespace

TEST(ComparedView, WithoutAChoiceTheFirstTwoDevicesStandBesideEachOther) {
    const auto view = viewOf({});

    EXPECT_EQ(view.a, "band");
    EXPECT_EQ(view.b, "watch");
    EXPECT_TRUE(view.maps && view.intervals && view.paired && view.attribution && view.overTime);
}

TEST(ComparedView, EveryActivityStandsOnceAmongTheDifferences) {
    const auto view = viewOf({});

    EXPECT_EQ(view.paired->rows.at(0).panels.at(0).y.categories,
              (std::vector<std::string>{"row", "walk", "all sessions", "activities, equal weight"}));
    EXPECT_EQ(view.paired->subtitle.substr(0, 17), "4 shared sessions");
}

TEST(ComparedView, ADeviceAloneHasNothingToBeHeldAgainst) {
    auto all = bothDevices();
    std::erase_if(all, [](const auto& one) { return one.device == "watch"; });

    const auto view = report::comparedView(all, {}, {}, 0);

    ASSERT_TRUE(view);
    EXPECT_TRUE(view->a.empty());
    EXPECT_EQ(view->sides.size(), 1u);
}

TEST(ComparedView, WithoutARecordingThereIsAReason) {
    const auto view = report::comparedView({}, {.project = "trial"}, {}, 0);

    ASSERT_FALSE(view);
    EXPECT_EQ(view.fault().code, FaultCode::NothingToCompare);
}

TEST(ComparedView, ChoicesComeBackFromTheirText) {
    ComparedAsk ask;
    ask.clock = evaluation::Clock::AsRecorded;
    ask.epoch_s = 30;
    ask.excludeReferenceFaults = false;
    ask.margin_bpm = 2.5;

    ComparedAsk read;
    report::takeChoices(read, report::choicesText(ask) + "unknown=1\nepoch_s=nonsense\n");

    EXPECT_EQ(read, ask);
}

TEST(ComparedView, HowItStandsUpShowsEachSide) {
    ComparedAsk ask;
    ask.a = "band";
    ask.b = "watch";

    const auto scenes = report::comparedStanding(bothDevices(), bothDevices(), ask, {});

    ASSERT_EQ(scenes.size(), 2u);
    EXPECT_EQ(scenes[0].rows.size(), 3u) << "left out, kept, and without each session";
}
