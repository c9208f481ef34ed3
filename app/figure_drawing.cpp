#include "app/figure_drawing.h"

#include <QGuiApplication>

#include "core/foundation/version.h"
#include "widgets/figures/figure_export.h"

namespace beatwitness {

verbs::ExitCode drawFigure(const verbs::FigureArguments& arguments, const verbs::Streams& streams) {
    const auto refuse = [&](const Fault& fault) { return verbs::reportFault(fault, false, streams); };
    const QString out = QString::fromStdString(arguments.out);
    const auto format = widgets::figureFormat(out);
    if (!format) return refuse(format.fault());
    // Before the library is read: a wrong size should not cost the time of an analysis.
    if (const auto size = widgets::figureSize(QString::fromStdString(arguments.size), 1.0, arguments.dpi);
        !size)
        return refuse(size.fault());
    auto library = library::Library::open(arguments.library, {.write = false});
    if (!library) return refuse(library.fault());
    const auto figure = report::makeFigure(*library, arguments.request);
    if (!figure) return refuse(figure.fault());
    const auto definition = report::figureDefinition(*library, arguments.request);
    const auto size =
        widgets::figureSize(QString::fromStdString(arguments.size), figure->scene.aspect, arguments.dpi);
    if (!size) return refuse(size.fault());

    qputenv("QT_QPA_PLATFORM", "offscreen");
    // What Qt remarks on its surroundings is no sentence for the user of a verb.
    qInstallMessageHandler([](QtMsgType, const QMessageLogContext&, const QString&) {});
    int count = 1;
    char name[] = "beatwitness";
    char* words[] = {name, nullptr};
    const QGuiApplication application(count, words);
    const widgets::ExportStyle style{arguments.dark, arguments.transparent, arguments.grey};
    const widgets::Provenance provenance{
        QString::fromUtf8(programVersion().data(), static_cast<qsizetype>(programVersion().size())),
        QString::fromStdString(definition)};
    const auto written =
        widgets::writeWhole(out, widgets::sceneFile(figure->scene, *size, *format, style, provenance));
    if (!written) return refuse(written.fault());
    verbs::keepOutcomes(arguments.library, figure->fresh);
    return verbs::ExitCode::Done;
}

}  // namespace beatwitness
