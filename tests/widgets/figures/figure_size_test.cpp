#include "widgets/figures/figure_size.h"

#include <gtest/gtest.h>

namespace beatwitness::widgets {
namespace {

TEST(FigureSize, OfAFrameHasItsPixels) {
    for (const auto& [text, pixels] :
         {std::pair{"1080p", QSize(1920, 1080)}, std::pair{"4k", QSize(3840, 2160)},
          std::pair{"vertical", QSize(1080, 1920)}, std::pair{"640x480", QSize(640, 480)}}) {
        const auto size = figureSize(QString::fromLatin1(text), 1.6);

        ASSERT_TRUE(size) << text;
        EXPECT_EQ(size->pixels(), pixels) << text;
    }
}

// The least text height that reads in a video is 2.5 % of the frame; figures have 8 points.
TEST(FigureSize, KeepsVideoTextLegible) {
    const auto size = figureSize(QStringLiteral("1080p"), 1.6);

    ASSERT_TRUE(size);
    EXPECT_GE(8.0 * size->pixelsPerPoint, 0.025 * 1080);
}

// 85 mm are 85 / 25.4 inches: 240.94 points, 1003.9 pixels at 300 dots an inch.
TEST(FigureSize, OfAColumnHoldsItsWidthInMillimetres) {
    const auto size = figureSize(QStringLiteral("85mm"), 2.0, 300);

    ASSERT_TRUE(size);
    EXPECT_NEAR(size->paper.width(), 240.945, 0.001);
    EXPECT_EQ(size->pixels().width(), 1004);
    EXPECT_NEAR(size->paper.height(), 120.472, 0.001);
}

TEST(FigureSize, RefusesWhatIsNoSizeInOneSentence) {
    for (const auto* text : {"", "big", "10mm", "900mm", "0x5", "99999x10", "85 mm", "1080P"}) {
        const auto size = figureSize(QString::fromLatin1(text), 1.6);

        ASSERT_FALSE(size) << text;
        EXPECT_EQ(size.fault().code, FaultCode::WrongUsage) << text;
        EXPECT_NE(size.fault().message.find("expected"), std::string::npos) << text;
    }
}

}  // namespace
}  // namespace beatwitness::widgets
