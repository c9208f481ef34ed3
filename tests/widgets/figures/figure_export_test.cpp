#include "widgets/figures/figure_export.h"

#include <gtest/gtest.h>

#include <QProcess>
#include <QRegularExpression>
#include <QStandardPaths>
#include <QTemporaryDir>

#include "core/report/figures/session_scenes.h"
#include "tests/widgets/plots/demo_session.h"

namespace beatwitness::widgets {
namespace {

report::Scene overlay() {
    const auto session = widgets_test::rowingSession(48, 1);
    report::SessionWords words;
    words.title = "Intervals on the ergometer";
    words.reference = "strap";
    words.devices = {"band"};
    return report::overlayScene(*session, words, {});
}

QByteArray written(FigureFormat format, const char* size, const ExportStyle& style = {}) {
    const auto scene = overlay();
    const auto figure = figureSize(QString::fromLatin1(size), scene.aspect);
    return sceneFile(scene, *figure, format, style,
                     {QStringLiteral("beatwitness"), QStringLiteral("{\"kind\":\"overlay\"}")});
}

TEST(FigureExport, GivesTheSameBytesForTheSameScene) {
    for (const auto format : {FigureFormat::Png, FigureFormat::Svg})
        EXPECT_EQ(written(format, "85mm"), written(format, "85mm"));
}

TEST(FigureExport, PutsTheDefinitionIntoEveryFormat) {
    const QImage image = QImage::fromData(written(FigureFormat::Png, "640x400"));

    EXPECT_EQ(image.text(QStringLiteral("Definition")), QStringLiteral("{\"kind\":\"overlay\"}"));
    EXPECT_TRUE(written(FigureFormat::Svg, "85mm").contains("{&quot;kind&quot;:&quot;overlay&quot;}"));
    EXPECT_TRUE(written(FigureFormat::Pdf, "85mm").contains("figure.json"));
}

TEST(FigureExport, OfAnSvgKeepsTextAsText) {
    const QByteArray svg = written(FigureFormat::Svg, "120mm");

    EXPECT_TRUE(svg.contains("<text"));
    EXPECT_TRUE(svg.contains("Intervals on the ergometer"));
    EXPECT_TRUE(svg.contains("Liberation Sans"));
}

// The trace of a session of 48 min at 1 Hz.
TEST(FigureExport, OfAnHourStaysSmallAsSvg) {
    EXPECT_LT(written(FigureFormat::Svg, "180mm").size(), 300'000);
}

// Judged by another program: the dates inside differ, what is seen does not.
TEST(FigureExport, LooksTheSameInTwoPdfsOfOneScene) {
    const QString renderer = QStandardPaths::findExecutable(QStringLiteral("pdftoppm"));
    if (renderer.isEmpty()) GTEST_SKIP() << "no pdftoppm";
    const QTemporaryDir folder;
    std::vector<QImage> pages;
    for (const auto* name : {"one", "two"}) {
        const QString file = folder.filePath(QLatin1String(name));
        ASSERT_TRUE(writeWhole(file + QStringLiteral(".pdf"), written(FigureFormat::Pdf, "85mm")));
        QProcess::execute(renderer,
                          {QStringLiteral("-png"), QStringLiteral("-singlefile"), QStringLiteral("-r"),
                           QStringLiteral("150"), file + QStringLiteral(".pdf"), file});
        pages.emplace_back(file + QStringLiteral(".png"));
    }

    ASSERT_FALSE(pages[0].isNull());
    EXPECT_EQ(pages[0], pages[1]);
}

TEST(FigureExport, SaysTheCaptionInEveryFormat) {
    EXPECT_TRUE(QImage::fromData(written(FigureFormat::Png, "640x400"))
                    .text(QStringLiteral("Description"))
                    .contains(QStringLiteral("heart rate by strap")));
    EXPECT_TRUE(
        written(FigureFormat::Svg, "85mm").contains("<desc>Intervals on the ergometer: heart rate by strap"));
    EXPECT_TRUE(written(FigureFormat::Pdf, "85mm").contains("caption.txt"));
}

TEST(FigureExport, IsClearWhereTransparentIsAsked) {
    ExportStyle clear;
    clear.transparent = true;

    EXPECT_EQ(qAlpha(QImage::fromData(written(FigureFormat::Png, "640x400", clear)).pixel(2, 2)), 0);
    EXPECT_EQ(qAlpha(QImage::fromData(written(FigureFormat::Png, "640x400")).pixel(2, 2)), 255);
}

TEST(FigureExport, HasNoColourWhereGreyIsAsked) {
    ExportStyle grey;
    grey.grey = true;
    const auto scene = overlay();
    const auto image = sceneImage(scene, *figureSize(QStringLiteral("640x400"), scene.aspect), grey);

    int coloured = 0;
    for (int y = 0; y < image.height(); ++y)
        for (int x = 0; x < image.width(); ++x)
            coloured +=
                QColor(image.pixel(x, y)).hslSaturation() > 60 && QColor(image.pixel(x, y)).lightness() < 225;
    EXPECT_EQ(coloured, 0);
}

TEST(FigureExport, RefusesAnUnknownEnding) {
    const auto format = figureFormat(QStringLiteral("picture.bmp"));

    ASSERT_FALSE(format);
    EXPECT_EQ(format.fault().code, FaultCode::WrongUsage);
}

TEST(FigureExport, LeavesTheOldFileWhereItCannotWrite) {
    const auto outcome = writeWhole(QStringLiteral("/proc/nothing/figure.png"), "bytes");

    ASSERT_FALSE(outcome);
    EXPECT_EQ(outcome.fault().code, FaultCode::NotWritable);
}

}  // namespace
}  // namespace beatwitness::widgets
