#include "app/pages/figures/figure_exports.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <utility>

#include "app/pages/figures/figure_look.h"
#include "core/foundation/version.h"
#include "core/report/figures/figure_request.h"
#include "widgets/figures/figure_export.h"

namespace beatwitness::app {

using namespace library;

namespace {

struct Made {
    report::MadeFigure figure;
    widgets::FigureSize size;
    widgets::Provenance provenance;
};

Result<Made> madeFrom(Library& library, const FigureParticulars& figure, const RunControl& run) {
    const auto request = report::requestOf(library, figure);
    if (!request) return request.fault();
    auto made = report::makeFigure(library, *request, run);
    if (!made) {
        auto fault = made.fault();
        if (fault.code != FaultCode::Cancelled)
            fault.message = "the figure \"" + figure.name + "\" cannot be made: " + fault.message;
        return fault;
    }
    const auto size = sizeOf(figure.look, made->scene);
    if (!size) return size.fault();
    const auto program = programVersion();
    return Made{std::move(*made),
                *size,
                {QString::fromUtf8(program.data(), static_cast<qsizetype>(program.size())),
                 QString::fromStdString(report::figureDefinition(library, *request))}};
}

/// The bytes of every file first: one that cannot be made leaves all as they were.
Result<Done> writeAll(const std::string& library, const std::vector<FigureFile>& files,
                      const RunControl& run) {
    auto reader = Library::open(library, {.write = false});
    if (!reader) return reader.fault();
    std::vector<QByteArray> bytes;
    for (const auto& file : files) {
        if (run.stopRequested()) return cancelled();
        const auto format = widgets::figureFormat(file.path);
        if (!format) return format.fault();
        const auto made = madeFrom(*reader, file.figure, run);
        if (!made) return made.fault();
        bytes.push_back(widgets::sceneFile(made->figure.scene, made->size, *format, styleOf(file.figure.look),
                                           made->provenance));
        run.progress(static_cast<double>(bytes.size()) / static_cast<double>(files.size()));
    }
    if (run.stopRequested()) return cancelled();
    for (std::size_t i = 0; i < files.size(); ++i)
        if (auto written = widgets::writeWhole(files[i].path, bytes[i]); !written) return written;
    return Done{};
}

Result<std::size_t> writeMoving(const std::string& library, const FigureParticulars& figure,
                                const QString& path, const widgets::MotionOptions& options,
                                const RunControl& run) {
    auto reader = Library::open(library, {.write = false});
    if (!reader) return reader.fault();
    auto made = madeFrom(*reader, figure, run);
    if (!made) return made.fault();
    if (!made->figure.motion)
        return Fault{FaultCode::WrongUsage,
                     "the figure \"" + figure.name + "\" does not move; an overlay or an agreement map does",
                     {},
                     {},
                     {}};
    const widgets::Film film{std::move(made->figure.scene),
                             std::move(*made->figure.motion),
                             made->size,
                             styleOf(figure.look),
                             made->provenance,
                             options};
    return widgets::writeFilm(film, path, run);
}

}  // namespace

FigureExports::FigureExports(LibraryDocument& library, QObject* parent)
    : QObject(parent), library_(library) {}

void FigureExports::writeFiles(std::vector<FigureFile> files) {
    if (files.empty() || !library_.isOpen()) return;
    const int count = static_cast<int>(files.size());
    const QString where = QDir::toNativeSeparators(count == 1 ? files.front().path
                                                              : QFileInfo(files.front().path).absolutePath());
    runner_.run(
        count == 1 ? tr("Exporting the figure …") : tr("Exporting %1 figures …").arg(count),
        [library = library_.path().toStdString(), files = std::move(files)](const RunControl& run) {
            return writeAll(library, files, run);
        },
        [this, count, where](const Result<Done>& done) {
            if (done)
                emit written(count == 1 ? tr("Figure exported") : tr("%1 figures exported").arg(count),
                             where);
            else if (done.fault().code != FaultCode::Cancelled)
                emit failed(done.fault());
        });
}

void FigureExports::writeFilm(const FigureParticulars& figure, const QString& path,
                              const widgets::MotionOptions& options) {
    if (!library_.isOpen()) return;
    runner_.run(
        tr("Making the film …"),
        [library = library_.path().toStdString(), figure, path, options](const RunControl& run) {
            return writeMoving(library, figure, path, options, run);
        },
        [this, path](const Result<std::size_t>& frames) {
            if (frames)
                emit written(tr("Film of %1 frames exported").arg(*frames), QDir::toNativeSeparators(path));
            else if (frames.fault().code != FaultCode::Cancelled)
                emit failed(frames.fault());
        });
}

}  // namespace beatwitness::app
