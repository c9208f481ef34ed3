#include "app/report_drawing.h"

#include <ostream>

#include "app/offscreen.h"
#include "core/foundation/version.h"
#include "core/report/write_up/html_writer.h"
#include "core/report/write_up/markdown_writer.h"
#include "core/report/write_up/write_up.h"
#include "widgets/figures/figure_export.h"

namespace beatwitness {
namespace {

QString pathOf(const std::filesystem::path& path) {
    return QString::fromStdString(path.string());
}

QByteArray bytesOf(const std::string& text) {
    return {text.data(), static_cast<qsizetype>(text.size())};
}

Fault notWritable(const std::filesystem::path& path, const std::string& why) {
    return {FaultCode::NotWritable,
            "the folder for the write-up could not be made (" + why + ")",
            path.string(),
            {},
            {}};
}

Result<Done> makeFolders(const std::filesystem::path& folder) {
    for (const auto* name : {"figures", "tables"}) {
        std::error_code error;
        std::filesystem::create_directories(folder / name, error);
        if (error) return notWritable(folder / name, error.message());
    }
    return Done{};
}

Result<report::DrawnPicture> drawn(const report::Picture& picture) {
    const auto size = widgets::figureSize(QStringLiteral("%1mm").arg(picture.width_mm), picture.scene.aspect);
    if (!size) return size.fault();
    const widgets::Provenance provenance{
        QString::fromUtf8(programVersion().data(), static_cast<qsizetype>(programVersion().size())),
        QString::fromStdString(picture.definition)};
    const auto bytes = widgets::sceneFile(picture.scene, *size, widgets::FigureFormat::Svg, {}, provenance);
    return report::DrawnPicture{"image/svg+xml", bytes.toStdString()};
}

std::string fileOf(const report::Picture& picture) {
    return "figures/" + picture.name + ".svg";
}

/// Draws and writes the pictures one by one.
Result<report::DrawnPictures> drawPictures(const report::WriteUp& document,
                                           const std::filesystem::path& folder, const RunControl& run) {
    report::DrawnPictures pictures;
    const auto all = report::picturesOf(document);
    for (const auto* picture : all) {
        if (run.stopRequested()) return cancelled();
        auto one = drawn(*picture);
        if (!one) return one.fault();
        if (auto done = widgets::writeWhole(pathOf(folder / fileOf(*picture)), bytesOf(one->bytes)); !done)
            return done.fault();
        pictures.emplace(picture->name, std::move(*one));
        run.progress(static_cast<double>(pictures.size()) / static_cast<double>(all.size()));
    }
    return pictures;
}

}  // namespace

Result<WrittenReport> writeReport(library::Library& library, const std::string& project,
                                  const std::filesystem::path& folder, const RunControl& run) {
    auto made = report::makeWriteUp(library, project, run.part(0, 0.8));
    if (!made) return made.fault();
    if (auto done = makeFolders(folder); !done) return done.fault();
    const auto pictures = drawPictures(made->document, folder, run.part(0.8, 1));
    if (!pictures) return pictures.fault();
    for (const auto& attachment : made->attachments)
        if (auto done = widgets::writeWhole(pathOf(folder / attachment.path), bytesOf(attachment.bytes));
            !done)
            return done.fault();
    const auto markdown = report::markdownOf(made->document, fileOf);
    if (auto done = widgets::writeWhole(pathOf(folder / "write-up.md"), bytesOf(markdown)); !done)
        return done.fault();
    const auto document = folder / "write-up.html";
    const auto html = report::htmlOf(made->document, *pictures);
    if (auto done = widgets::writeWhole(pathOf(document), bytesOf(html)); !done) return done.fault();
    return WrittenReport{document, pictures->size(), std::move(made->fresh)};
}

verbs::ExitCode drawReport(const verbs::ReportArguments& arguments, const verbs::Streams& streams) {
    const Offscreen offscreen;
    std::optional<Result<WrittenReport>> written;
    {
        auto library = library::Library::open(arguments.library, {.write = false});
        if (!library) return verbs::reportFault(library.fault(), false, streams);
        written = writeReport(*library, arguments.project, arguments.out);
    }
    if (!*written) return verbs::reportFault(written->fault(), false, streams);
    verbs::keepOutcomes(arguments.library, (*written)->fresh);
    streams.out << "The write-up of \"" << arguments.project << "\" is in " << (*written)->document.string()
                << " (" << (*written)->figures
                << " figures); beside it stand Markdown, figures, tables and the numbers as JSON.\n";
    return verbs::ExitCode::Done;
}

}  // namespace beatwitness
