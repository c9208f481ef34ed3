#include "widgets/plots/line_image.h"

#include <gtest/gtest.h>

#include <QImage>
#include <QPainter>

#include "tests/widgets/plots/demo_session.h"

using namespace beatwitness;
using widgets::DrawnLine;

namespace {

const QColor ink{"#AA0000"};

/// `line` on white, 100 x 100 px, showing seconds 0 to 100 and values 0 to 100.
QImage drawn(DrawnLine line, double width) {
    line.colour = ink;
    line.width = width;
    QImage image(100, 100, QImage::Format_RGB32);
    image.fill(Qt::white);
    QPainter painter(&image);
    widgets::LineImage().draw(painter, {QRectF(0, 0, 100, 100), 0, 100, 0, 100}, std::span(&line, 1));
    return image;
}

DrawnLine lineThrough(std::vector<double> seconds, std::vector<float> values,
                      std::vector<std::uint8_t> joined) {
    struct Columns {
        std::vector<double> seconds;
        std::vector<std::uint8_t> joined;
    };
    auto columns = std::make_shared<Columns>(Columns{std::move(seconds), std::move(joined)});
    DrawnLine line;
    line.seconds = columns->seconds;
    line.joined = columns->joined;
    line.values = std::move(values);
    line.owner = std::move(columns);
    return line;
}

/// Ink in a column, in pixels: the sum of how far each pixel went from white to `ink`.
double inkInColumn(const QImage& image, int x) {
    double sum = 0;
    for (int y = 0; y < image.height(); ++y)
        sum += (255 - qGreen(image.pixel(x, y))) / 255.0;
    return sum;
}

}  // namespace

// Closed form: a horizontal line inks its width in every column.
TEST(LineImage, InksALevelLineByItsWidth) {
    const auto line = lineThrough({0, 100}, {50, 50}, {0, 1});

    const QImage image = drawn(line, 1.8);

    EXPECT_NEAR(inkInColumn(image, 50), 1.8, 0.03);
}

// Closed form: a line of slope 1 inks width * sqrt(2) of every column.
TEST(LineImage, InksADiagonalNearlyByItsWidthAcross) {
    const auto line = lineThrough({0, 100}, {0, 100}, {0, 1});

    const QImage image = drawn(line, 1.8);

    EXPECT_NEAR(inkInColumn(image, 50), 1.8 * std::sqrt(2.0), 0.35);
}

TEST(LineImage, LeavesAGapEmpty) {
    const auto line = lineThrough({0, 30, 70, 100}, {50, 50, 50, 50}, {0, 1, 0, 1});

    const QImage image = drawn(line, 1.8);

    EXPECT_GT(inkInColumn(image, 20), 1.0);
    EXPECT_EQ(inkInColumn(image, 50), 0.0);
    EXPECT_GT(inkInColumn(image, 80), 1.0);
}

TEST(LineImage, ShowsALonelySampleAsADot) {
    const auto line = lineThrough({50}, {50}, {0});

    const QImage image = drawn(line, 1.8);

    EXPECT_GT(inkInColumn(image, 50), 1.0);
    EXPECT_EQ(inkInColumn(image, 40), 0.0);
}

// A spike of one sample among ten thousand in a hundred columns must not be lost.
TEST(LineImage, ShowsASingleSpikeAmongManySamples) {
    std::vector<double> seconds;
    std::vector<float> values;
    for (int i = 0; i <= 10000; ++i) {
        seconds.push_back(i * 0.01);
        values.push_back(i == 5050 ? 90.0F : 20.0F);
    }
    std::vector<std::uint8_t> joined(seconds.size(), 1);
    joined[0] = 0;

    const QImage image = drawn(lineThrough(seconds, values, joined), 1.8);

    EXPECT_GT(inkInColumn(image, 50), 60.0);
    EXPECT_LT(inkInColumn(image, 47), 3.0);
}

TEST(LineImage, ClipsWhatLiesOutsideTheViewport) {
    const auto line = lineThrough({-1000, 1000}, {-540, 660}, {0, 1});

    const QImage image = drawn(line, 1.8);

    EXPECT_GT(inkInColumn(image, 1), 1.0);
    EXPECT_EQ(inkInColumn(image, 95), 0.0);  // the line is at 60 + 0.6 x, so above 100 there
}

TEST(ErrorLine, MakesAGapWhereASecondHasNoPair) {
    trace::Pairs pairs;
    pairs.seconds = {0, 1, 3};
    pairs.reference = {{100}, {100}, {100}};
    pairs.test = {{97}, {104}, {100}};

    const DrawnLine line = widgets::errorLineOf(pairs);

    EXPECT_EQ(std::vector<std::uint8_t>(line.joined.begin(), line.joined.end()),
              (std::vector<std::uint8_t>{0, 1, 0}));
    EXPECT_EQ(line.values, (std::vector<float>{-3, 4, 0}));
}
