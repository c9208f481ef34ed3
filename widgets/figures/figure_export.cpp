#include "widgets/figures/figure_export.h"

#include <QBuffer>
#include <QFileInfo>
#include <QImageWriter>
#include <QPageSize>
#include <QPdfWriter>
#include <QSaveFile>
#include <QSvgGenerator>
#include <cmath>

namespace beatwitness::widgets {
namespace {

constexpr double inchesPerMetre = 1000.0 / 25.4;

const Palette& paletteOf(const ExportStyle& style) {
    return style.dark ? darkPalette() : lightPalette();
}

PaintOptions optionsOf(const ExportStyle& style, bool vector) {
    return {style.transparent, vector, style.grey};
}

QByteArray pngOf(const report::Scene& scene, const FigureSize& size, const ExportStyle& style,
                 const Provenance& provenance) {
    QImage image = sceneImage(scene, size, style);
    image.setText(QStringLiteral("Title"), QString::fromStdString(scene.title));
    if (!scene.caption.empty())
        image.setText(QStringLiteral("Description"), QString::fromStdString(scene.caption));
    image.setText(QStringLiteral("Software"), provenance.program);
    image.setText(QStringLiteral("Definition"), provenance.definition);
    QByteArray bytes;
    QBuffer buffer(&bytes);
    buffer.open(QIODevice::WriteOnly);
    QImageWriter writer(&buffer, "png");
    writer.setCompression(30);  // a third of the time of the default, a few percent larger
    writer.write(image);
    return bytes;
}

QByteArray svgOf(const report::Scene& scene, const FigureSize& size, const ExportStyle& style,
                 const Provenance& provenance) {
    QByteArray bytes;
    QBuffer buffer(&bytes);
    buffer.open(QIODevice::WriteOnly);
    QSvgGenerator generator;
    generator.setOutputDevice(&buffer);
    generator.setResolution(72);
    generator.setSize(QSize(static_cast<int>(std::ceil(size.paper.width())),
                            static_cast<int>(std::ceil(size.paper.height()))));
    generator.setViewBox(QRectF(QPointF(0, 0), size.paper));
    // Qt writes both as they come: an ampersand would end the file for every reader.
    generator.setTitle(QString::fromStdString(scene.title).toHtmlEscaped());
    // The caption first: it is what a screen reader says of the picture.
    generator.setDescription(
        QStringList{QString::fromStdString(scene.caption), provenance.program, provenance.definition}
            .join(QLatin1Char('\n'))
            .toHtmlEscaped());
    QPainter painter(&generator);
    paintScene(painter, scene, size, paletteOf(style), optionsOf(style, true));
    painter.end();
    return bytes;
}

QByteArray pdfOf(const report::Scene& scene, const FigureSize& size, const ExportStyle& style,
                 const Provenance& provenance) {
    QByteArray bytes;
    QBuffer buffer(&bytes);
    buffer.open(QIODevice::WriteOnly);
    QPdfWriter writer(&buffer);
    writer.setResolution(72);
    writer.setPageSize(QPageSize(size.paper, QPageSize::Point, {}, QPageSize::ExactMatch));
    writer.setPageMargins(QMarginsF(0, 0, 0, 0));
    writer.setTitle(QString::fromStdString(scene.title));
    writer.setCreator(provenance.program);
    writer.addFileAttachment(QStringLiteral("figure.json"), provenance.definition.toUtf8(),
                             QStringLiteral("application/json"));
    if (!scene.caption.empty())
        writer.addFileAttachment(QStringLiteral("caption.txt"), QByteArray::fromStdString(scene.caption),
                                 QStringLiteral("text/plain"));
    QPainter painter(&writer);
    paintScene(painter, scene, size, paletteOf(style), optionsOf(style, true));
    painter.end();
    return bytes;
}

}  // namespace

Result<FigureFormat> figureFormat(const QString& path) {
    const QString ending = QFileInfo(path).suffix().toLower();
    if (ending == QLatin1String("png")) return FigureFormat::Png;
    if (ending == QLatin1String("svg")) return FigureFormat::Svg;
    if (ending == QLatin1String("pdf")) return FigureFormat::Pdf;
    return Fault{FaultCode::WrongUsage,
                 "the figure's file name has no ending that is known; expected .png, .svg or .pdf",
                 path.toStdString(),
                 {},
                 {}};
}

QImage sceneImage(const report::Scene& scene, const FigureSize& size, const ExportStyle& style) {
    QImage image(size.pixels(), QImage::Format_ARGB32_Premultiplied);
    image.fill(Qt::transparent);
    QPainter painter(&image);
    painter.scale(size.pixelsPerPoint, size.pixelsPerPoint);
    paintScene(painter, scene, size, paletteOf(style), optionsOf(style, false));
    painter.end();
    const int dotsPerMetre = static_cast<int>(std::lround(size.dotsPerInch() * inchesPerMetre));
    image.setDotsPerMeterX(dotsPerMetre);
    image.setDotsPerMeterY(dotsPerMetre);
    if (!style.transparent) return image.convertToFormat(QImage::Format_RGB32);
    return image.convertToFormat(QImage::Format_ARGB32);
}

QByteArray sceneFile(const report::Scene& scene, const FigureSize& size, FigureFormat format,
                     const ExportStyle& style, const Provenance& provenance) {
    switch (format) {
        case FigureFormat::Png:
            return pngOf(scene, size, style, provenance);
        case FigureFormat::Svg:
            return svgOf(scene, size, style, provenance);
        case FigureFormat::Pdf:
            return pdfOf(scene, size, style, provenance);
    }
    return {};
}

Result<Done> writeWhole(const QString& path, const QByteArray& bytes) {
    QSaveFile file(path);
    if (file.open(QIODevice::WriteOnly) && file.write(bytes) == bytes.size() && file.commit()) return Done{};
    return Fault{FaultCode::NotWritable,
                 "the file could not be written (" + file.errorString().toStdString() + ")",
                 path.toStdString(),
                 {},
                 {}};
}

}  // namespace beatwitness::widgets
