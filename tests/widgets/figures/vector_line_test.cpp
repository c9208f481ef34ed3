#include "widgets/figures/vector_line.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace beatwitness::widgets {
namespace {

/// A panel 100 points wide and high whose axes run from 0 to 100: points and values are the same, y upside
/// down.
struct Plain {
    report::Panel panel;
    PlacedPanel place;
    Plain() {
        panel.x.highest = panel.y.highest = 100;
        place.panel = &panel;
        place.axes = QRectF(0, 0, 100, 100);
    }
};

report::Line lineOf(const std::vector<double>& x, const std::vector<double>& y) {
    report::Line line;
    line.x = x;
    line.y = y;
    line.joined.assign(x.size(), 1);
    line.joined[0] = 0;
    return line;
}

TEST(CutTo, KeepsThePartInside) {
    const auto cut = cutTo(QRectF(0, 0, 10, 10), QLineF(-10, 5, 30, 5));

    ASSERT_TRUE(cut);
    EXPECT_EQ(*cut, QLineF(0, 5, 10, 5));
}

TEST(CutTo, DropsALineThatMisses) {
    EXPECT_FALSE(cutTo(QRectF(0, 0, 10, 10), QLineF(-5, 0, 0, 20)));
}

TEST(Strokes, BreakAtGaps) {
    Plain plain;
    auto line = lineOf({0, 10, 20, 30}, {5, 5, 5, 5});
    line.joined[2] = 0;

    EXPECT_EQ(strokesOf(line, plain.place, 0.25).size(), 2u);
}

TEST(Strokes, NeverLeaveTheAxes) {
    Plain plain;
    std::mt19937 random(7);
    std::uniform_real_distribution<double> any(-80.0, 180.0);
    std::vector<double> x, y;
    for (int i = -50; i < 200; ++i) {
        x.push_back(i);
        y.push_back(any(random));
    }

    for (const auto& stroke : strokesOf(lineOf(x, y), plain.place, 0.25))
        for (const auto& point : stroke)
            EXPECT_TRUE(plain.place.axes.adjusted(-1e-9, -1e-9, 1e-9, 1e-9).contains(point));
}

TEST(Strokes, KeepEveryColumnsExtremes) {
    Plain plain;
    std::vector<double> x, y;
    for (int i = 0; i < 4000; ++i) {
        x.push_back(i / 40.0);
        y.push_back(50.0 + (i == 1234 ? 40.0 : i == 2345 ? -40.0 : std::sin(i)));
    }

    const auto strokes = strokesOf(lineOf(x, y), plain.place, 0.5);

    ASSERT_EQ(strokes.size(), 1u);
    EXPECT_LE(strokes[0].size(), 4 * 200 + 4);
    const auto has = [&](double value) {
        return std::ranges::any_of(strokes[0],
                                   [value](QPointF p) { return std::abs(p.y() - (100 - value)) < 1e-9; });
    };
    EXPECT_TRUE(has(90));
    EXPECT_TRUE(has(10));
}

}  // namespace
}  // namespace beatwitness::widgets
