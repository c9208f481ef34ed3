#pragma once

#include <QByteArray>
#include <QImage>
#include <QString>

#include "core/foundation/result.h"
#include "core/report/scene.h"
#include "widgets/figures/scene_painter.h"

namespace beatwitness::widgets {

enum class FigureFormat { Png, Svg, Pdf };

/// What stands inside the file beside the picture.
struct Provenance {
    QString program;     ///< "beatwitness 0.1.0"
    QString definition;  ///< JSON: what the figure shows, settings digest, recordings' digests
};

struct ExportStyle {
    bool dark = false;
    bool transparent = false;
    bool grey = false;
};

/// By the ending of `path`: .png, .svg, .pdf. Faults: WrongUsage.
[[nodiscard]] Result<FigureFormat> figureFormat(const QString& path);

[[nodiscard]] QImage sceneImage(const report::Scene& scene, const FigureSize& size, const ExportStyle& style);

/// The file's bytes. PNG and SVG are the same bytes for the same input on one machine; a PDF holds its date.
/// Text stays text in SVG and PDF, fonts are embedded in PDF, maps are lossless.
[[nodiscard]] QByteArray sceneFile(const report::Scene& scene, const FigureSize& size, FigureFormat format,
                                   const ExportStyle& style, const Provenance& provenance);

/// Writes whole or not at all (a temporary file beside it, then renamed). Faults: NotWritable.
[[nodiscard]] Result<Done> writeWhole(const QString& path, const QByteArray& bytes);

}  // namespace beatwitness::widgets
