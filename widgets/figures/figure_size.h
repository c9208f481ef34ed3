#pragma once

#include <QSize>
#include <QSizeF>
#include <QString>

#include "core/foundation/result.h"
#include "core/report/scene.h"

namespace beatwitness::widgets {

/// How large a figure comes out, and how large its text is in it.
///
/// A figure is laid out in points on `paper`; text is 8 points, so that pixelsPerPoint decides how it reads.
/// For a video text is 2.6 % of the frame's height (2.5 % is the least that reads), for print it is 8 points
/// at the printed width.
struct FigureSize {
    enum class Use { Video, Print };
    Use use = Use::Video;
    QSizeF paper;                 ///< in points
    double pixelsPerPoint = 1.0;  ///< of a raster
    QSizeF margin;                ///< kept free at each side, in points (title-safe area of a video)
    double extraTop = 0.0, extraBottom = 0.0;  ///< kept free besides, in upright video

    [[nodiscard]] QSize pixels() const;
    [[nodiscard]] double dotsPerInch() const { return pixelsPerPoint * 72.0; }
};

/// `1080p`, `4k`, `vertical`, `85mm` (any whole or decimal number of mm from 40 to 400) or `WxH` in pixels
/// (64 to 8192 each). Print sizes take their height from `aspect` (width over height) and `dpi` dots an inch
/// (72 to 1200). Faults: WrongUsage with what was expected.
[[nodiscard]] Result<FigureSize> figureSize(const QString& text, double aspect, int dpi = 300);

/// The size of this scene: in print at least as high as it needs to be read at that width. Requires: a
/// QGuiApplication, whose fonts it measures. Faults: those above.
[[nodiscard]] Result<FigureSize> figureSizeOf(const QString& text, const report::Scene& scene, int dpi = 300);
/// Faults of figureSize() for a scene that is still to be made.
[[nodiscard]] Result<Done> checkedSize(const QString& text, int dpi);

}  // namespace beatwitness::widgets
