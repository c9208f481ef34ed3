#include "app/figure_drawing.h"

#include "app/offscreen.h"
#include "core/foundation/version.h"
#include "widgets/figures/figure_export.h"
#include "widgets/figures/motion_export.h"

namespace beatwitness {
namespace {

/// Whether name, size and rate make sense, before the time of an analysis is spent on the library.
Result<Done> checked(const verbs::FigureArguments& arguments) {
    const QString out = QString::fromStdString(arguments.out);
    if (arguments.motion.empty()) {
        if (const auto format = widgets::figureFormat(out); !format) return format.fault();
    } else {
        if (const auto format = widgets::motionFormat(out); !format) return format.fault();
        if (const auto rate = widgets::frameRate(QString::fromStdString(arguments.motion)); !rate)
            return rate.fault();
    }
    return widgets::checkedSize(QString::fromStdString(arguments.size), arguments.dpi);
}

Result<Done> writeStill(const report::MadeFigure& figure, const widgets::FigureSize& size,
                        const widgets::ExportStyle& style, const widgets::Provenance& provenance,
                        const QString& out) {
    const auto format = widgets::figureFormat(out);
    if (!format) return format.fault();
    return widgets::writeWhole(out, widgets::sceneFile(figure.scene, size, *format, style, provenance));
}

Result<Done> writeMotion(report::MadeFigure figure, const verbs::FigureArguments& arguments,
                         const widgets::FigureSize& size, const widgets::ExportStyle& style,
                         const widgets::Provenance& provenance) {
    if (!figure.motion)
        return Fault{FaultCode::WrongUsage,
                     "a figure of the kind \"" + std::string(report::figureKindName(arguments.request.kind)) +
                         "\" does not move; expected overlay or map",
                     {},
                     {},
                     {}};
    const auto rate = widgets::frameRate(QString::fromStdString(arguments.motion));
    if (!rate) return rate.fault();
    const double length_s = arguments.motionLength_s.value_or(widgets::usualLength_s(*figure.motion));
    const widgets::Film film{std::move(figure.scene),
                             std::move(*figure.motion),
                             size,
                             style,
                             provenance,
                             {*rate, length_s, arguments.motionStyle}};
    const auto written = widgets::writeFilm(film, QString::fromStdString(arguments.out), {});
    if (!written) return written.fault();
    return Done{};
}

}  // namespace

verbs::ExitCode drawFigure(const verbs::FigureArguments& arguments, const verbs::Streams& streams) {
    const auto refuse = [&](const Fault& fault) { return verbs::reportFault(fault, false, streams); };
    if (const auto good = checked(arguments); !good) return refuse(good.fault());
    auto library = verbs::openLibrary(arguments.library);
    if (!library) return refuse(library.fault());
    auto request = arguments.example ? report::exampleOf(*library, arguments.request, *arguments.example)
                                     : Result<report::FigureRequest>{arguments.request};
    if (!request) return refuse(request.fault());
    auto figure = report::makeFigure(*library, *request);
    if (!figure) return refuse(figure.fault());
    const auto definition = report::figureDefinition(*library, *request);
    const Offscreen offscreen;
    const auto size =
        widgets::figureSizeOf(QString::fromStdString(arguments.size), figure->scene, arguments.dpi);
    if (!size) return refuse(size.fault());
    const widgets::ExportStyle style{arguments.dark, arguments.transparent, arguments.grey};
    const widgets::Provenance provenance{
        QString::fromUtf8(programVersion().data(), static_cast<qsizetype>(programVersion().size())),
        QString::fromStdString(definition)};
    const auto fresh = std::move(figure->fresh);
    const auto written =
        arguments.motion.empty()
            ? writeStill(*figure, *size, style, provenance, QString::fromStdString(arguments.out))
            : writeMotion(std::move(*figure), arguments, *size, style, provenance);
    if (!written) return refuse(written.fault());
    verbs::keepOutcomes(arguments.library, fresh);
    return verbs::ExitCode::Done;
}

}  // namespace beatwitness
