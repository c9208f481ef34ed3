#include "core/report/figures/motion.h"

#include <gtest/gtest.h>

#include <numeric>

namespace beatwitness::report {
namespace {

/// A trace that rises by 1 bpm a second from 100, with a gap between 5 and 10 s.
Scene risingTrace() {
    Line line;
    for (int second = 0; second <= 20; ++second) {
        if (second > 5 && second < 10) continue;
        line.x.push_back(second);
        line.y.push_back(100.0 + second);
        line.joined.push_back(second != 0 && second != 10);
    }
    Panel panel;
    panel.x.kind = Axis::Kind::SessionTime;
    panel.x.highest = 20.0;
    panel.y.lowest = 90.0;
    panel.y.highest = 130.0;
    panel.marks.emplace_back(line);
    panel.marks.emplace_back(Zone{12.0, 18.0, true, Paint::of(flags::FlagKind::Lag), {}, true});
    Scene scene;
    scene.rows.emplace_back().panels.push_back(panel);
    return scene;
}

const Panel& panelOf(const Scene& scene) {
    return scene.rows.front().panels.front();
}

template <class Kind>
const Kind* markOf(const Scene& scene) {
    for (const auto& mark : panelOf(scene).marks)
        if (const auto* found = std::get_if<Kind>(&mark)) return found;
    return nullptr;
}

const MotionSource twentySeconds{0.0, 20.0, true, {}};

// By hand: between 3 and 4 s the line from 103 to 104 bpm is at 103.5 after half a second.
TEST(Motion, EndsAGrowingTraceOnTheLineBetweenTwoSamples) {
    const auto scene = sceneAt(risingTrace(), twentySeconds, MotionStyle::Grow, 3.5);

    const auto* line = markOf<Line>(scene);
    ASSERT_EQ(line->x.size(), 5u);
    EXPECT_DOUBLE_EQ(line->x.back(), 3.5);
    EXPECT_DOUBLE_EQ(line->y.back(), 103.5);
}

TEST(Motion, DoesNotBridgeAGapWhileTheTraceGrows) {
    const auto scene = sceneAt(risingTrace(), twentySeconds, MotionStyle::Grow, 8.0);

    EXPECT_DOUBLE_EQ(markOf<Line>(scene)->x.back(), 5.0);
}

TEST(Motion, HidesAFlagBeforeItBeginsAndCutsItWhileItLasts) {
    const auto before = sceneAt(risingTrace(), twentySeconds, MotionStyle::Grow, 11.0);
    const auto within = sceneAt(risingTrace(), twentySeconds, MotionStyle::Grow, 15.0);

    EXPECT_EQ(markOf<Zone>(before), nullptr);
    EXPECT_DOUBLE_EQ(markOf<Zone>(within)->to, 15.0);
}

TEST(Motion, UnderACursorShowsTheWholeTraceAndTheInstant) {
    const auto scene = sceneAt(risingTrace(), twentySeconds, MotionStyle::Cursor, 4.0);

    EXPECT_DOUBLE_EQ(markOf<Line>(scene)->x.back(), 20.0);
    ASSERT_NE(markOf<Rule>(scene), nullptr);
    EXPECT_DOUBLE_EQ(markOf<Rule>(scene)->shift, 4.0);
    EXPECT_EQ(markOf<Rule>(scene)->label, "0:04");
}

TEST(Motion, NeverMovesTheAxes) {
    for (const double at : {0.0, 7.0, 20.0}) {
        const auto scene = sceneAt(risingTrace(), twentySeconds, MotionStyle::Grow, at);

        EXPECT_EQ(panelOf(scene).x.highest, 20.0);
        EXPECT_EQ(panelOf(scene).y.lowest, 90.0);
        EXPECT_EQ(panelOf(scene).y.highest, 130.0);
    }
}

// By counting: three of five pairs lie at or before second 3.
TEST(Motion, FillsTheMapWithWhatHasBeenCountedOnTheScaleOfTheWhole) {
    trace::Pairs pairs;
    pairs.seconds = {1, 2, 3, 4, 9};
    for (const double rate : {100.0, 100.0, 110.0, 100.0, 100.0}) {
        pairs.reference.push_back({rate});
        pairs.test.push_back({rate});
    }
    Scene scene;
    scene.beside.emplace().marks.emplace_back(Cells{agreement::densityMap(pairs, 1), Cells::Scale::Log, 0.0});

    const auto at = sceneAt(scene, {0.0, 10.0, true, pairs}, MotionStyle::Grow, 3.2);

    const auto& cells = std::get<Cells>(at.beside->marks.front());
    EXPECT_EQ(cells.map.pairs, 3u);
    EXPECT_EQ(cells.map.at(100 - cells.map.lowest_bpm, 100 - cells.map.lowest_bpm), 2u);
    EXPECT_EQ(cells.largest, 4.0);
}

}  // namespace
}  // namespace beatwitness::report
