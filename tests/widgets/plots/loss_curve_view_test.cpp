#include "widgets/plots/loss_curve_view.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QImage>

#include "tests/widgets/plots/demo_session.h"
#include "widgets/theme/theme.h"

using namespace beatwitness;

namespace {

class LossCurve : public ::testing::Test {
protected:
    LossCurve() {
        widgets::applyTheme(*qApp, widgets::ThemeChoice::Light);
        view.resize(300, 140);
    }

    /// Columns in which a pixel has exactly this colour, in the middle third of the height.
    std::pair<int, int> columnsOf(const QColor& colour) {
        const QImage image = view.grab().toImage();
        int first = image.width(), last = -1;
        for (int y = image.height() / 3; y < image.height() * 2 / 3; ++y)
            for (int x = 0; x < image.width(); ++x)
                if (image.pixelColor(x, y) == colour) {
                    first = std::min(first, x);
                    last = std::max(last, x);
                }
        return {first, last};
    }

    widgets::LossCurveView view;
};

}  // namespace

// demoAlignment() has its curve from -12.6 to +19.4 s and its offset, +3.4 s, in the middle of it.
TEST_F(LossCurve, MarksTheOffsetInForceWhereItLiesOnTheAxis) {
    view.setAlignment(widgets_test::demoAlignment());

    const auto [first, last] = columnsOf(widgets::lightPalette().accent);

    ASSERT_GE(last, first);
    EXPECT_NEAR((first + last) / 2.0, view.width() / 2.0, 3.0);
}

TEST_F(LossCurve, MarksNoOffsetWhereNoneWasApplied) {
    auto alignment = widgets_test::demoAlignment();
    alignment.correction.reset();
    alignment.offsetInterval_s.reset();
    view.setAlignment(alignment);

    const auto [first, last] = columnsOf(widgets::lightPalette().accent);

    EXPECT_LT(last, first);
}

TEST_F(LossCurve, SpeaksItsEndsWithSignAndUnit) {
    view.setAlignment(widgets_test::demoAlignment());

    EXPECT_TRUE(view.accessibleDescription().contains("from \u221213\u00A0s to +19\u00A0s"))
        << view.accessibleDescription().toStdString();
    EXPECT_TRUE(view.accessibleDescription().contains("+3.4\u00A0s (3.1 to 3.8)"));
}

TEST_F(LossCurve, SaysThatThereIsNoneForATypedOffset) {
    auto alignment = widgets_test::demoAlignment();
    alignment.method = alignment::Method::Offset;
    alignment.lossCurve.clear();
    view.setAlignment(alignment);

    EXPECT_FALSE(view.hasCurve());
    EXPECT_TRUE(view.accessibleDescription().startsWith("No loss curve"));
}

TEST_F(LossCurve, DrawsAFlatCurveAndASinglePointWithoutFail) {
    alignment::Alignment alignment;
    alignment.lossCurve = {{Seconds{2.0}, 0.0}};
    view.setAlignment(alignment);
    EXPECT_FALSE(view.grab().isNull());

    alignment.lossCurve = {{Seconds{2.0}, 0.0}, {Seconds{3.0}, 0.0}};
    view.setAlignment(alignment);
    EXPECT_FALSE(view.grab().isNull());
}
