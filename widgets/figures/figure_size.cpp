#include "widgets/figures/figure_size.h"

#include <QRegularExpression>
#include <algorithm>
#include <cmath>

#include "widgets/figures/scene_layout.h"

namespace beatwitness::widgets {
namespace {

constexpr double textShare = 0.026;  ///< of a frame's height
constexpr double text_pt = 8.0;
constexpr double narrowest_pt = 200.0;  ///< a frame is never laid out narrower: labels would not fit
constexpr double titleSafe = 0.05;      ///< SMPTE ST 2046-1: 90 % of the frame is title-safe
constexpr double uprightTop = 0.15, uprightBottom = 0.20;
constexpr double pointsPerMm = 72.0 / 25.4;

Fault badSize(const QString& text) {
    return {FaultCode::WrongUsage,
            "the size \"" + text.toStdString() +
                "\" is not known; expected 1080p, 4k, vertical, a width such as 85mm (40 to 400), or pixels "
                "such as "
                "1920x1080 (64 to 8192 each)",
            {},
            {},
            {}};
}

FigureSize frame(int width, int height) {
    FigureSize size;
    const bool upright = height > width;
    size.pixelsPerPoint = std::min(textShare * height / text_pt, width / narrowest_pt);
    size.paper = QSizeF(width, height) / size.pixelsPerPoint;
    size.margin = size.paper * titleSafe;
    if (upright) {
        size.extraTop = std::max(0.0, uprightTop - titleSafe) * size.paper.height();
        size.extraBottom = std::max(0.0, uprightBottom - titleSafe) * size.paper.height();
    }
    return size;
}

FigureSize column(double width_mm, double aspect, int dpi) {
    FigureSize size;
    size.use = FigureSize::Use::Print;
    size.pixelsPerPoint = dpi / 72.0;
    const double width = width_mm * pointsPerMm;
    size.paper = QSizeF(width, width / aspect);
    size.margin = QSizeF(2.0, 2.0);
    return size;
}

}  // namespace

QSize FigureSize::pixels() const {
    return {static_cast<int>(std::lround(paper.width() * pixelsPerPoint)),
            static_cast<int>(std::lround(paper.height() * pixelsPerPoint))};
}

Result<FigureSize> figureSize(const QString& text, double aspect, int dpi) {
    if (dpi < 72 || dpi > 1200)
        return Fault{
            FaultCode::WrongUsage,
            "the resolution " + std::to_string(dpi) + " is out of range; expected 72 to 1200 dots an inch",
            {},
            {},
            {}};
    if (text == QLatin1String("1080p")) return frame(1920, 1080);
    if (text == QLatin1String("4k")) return frame(3840, 2160);
    if (text == QLatin1String("vertical")) return frame(1080, 1920);
    static const QRegularExpression mm(QStringLiteral("^([0-9]{1,3}(?:\\.[0-9]{1,3})?)mm$"));
    static const QRegularExpression pixels(QStringLiteral("^([0-9]{1,5})x([0-9]{1,5})$"));
    if (const auto match = mm.match(text); match.hasMatch()) {
        const double width = match.captured(1).toDouble();
        if (width < 40 || width > 400) return badSize(text);
        return column(width, aspect, dpi);
    }
    if (const auto match = pixels.match(text); match.hasMatch()) {
        const int width = match.captured(1).toInt(), height = match.captured(2).toInt();
        if (std::min(width, height) < 64 || std::max(width, height) > 8192) return badSize(text);
        return frame(width, height);
    }
    return badSize(text);
}

Result<FigureSize> figureSizeOf(const QString& text, const report::Scene& scene, int dpi) {
    auto size = figureSize(text, scene.aspect, dpi);
    if (!size || size->use == FigureSize::Use::Video) return size;
    const double least =
        leastHeight(scene, size->paper.width() - 2 * size->margin.width()) + 2 * size->margin.height();
    size->paper.setHeight(std::max(size->paper.height(), std::ceil(least)));
    return size;
}

Result<Done> checkedSize(const QString& text, int dpi) {
    const auto size = figureSize(text, 1.0, dpi);
    if (!size) return size.fault();
    return Done{};
}

}  // namespace beatwitness::widgets
