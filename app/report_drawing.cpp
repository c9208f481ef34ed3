#include "app/report_drawing.h"

#include <ostream>

#include "app/offscreen.h"
#include "core/foundation/version.h"
#include "core/library/whole_file.h"
#include "core/report/write_up/html_writer.h"
#include "core/report/write_up/markdown_writer.h"
#include "core/report/write_up/write_up.h"
#include "widgets/figures/figure_export.h"

namespace beatwitness {
namespace {

Result<report::DrawnPicture> drawn(const report::Picture& picture) {
    const auto size = widgets::figureSizeOf(QStringLiteral("%1mm").arg(picture.width_mm), picture.scene);
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
        if (auto done = library::writeWholeFile(folder / fileOf(*picture), one->bytes); !done)
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
    const auto pictures = drawPictures(made->document, folder, run.part(0.8, 1));
    if (!pictures) return pictures.fault();
    for (const auto& attachment : made->attachments)
        if (auto done = library::writeWholeFile(folder / attachment.path, attachment.bytes); !done)
            return done.fault();
    const auto markdown = report::markdownOf(made->document, fileOf);
    if (auto done = library::writeWholeFile(folder / "write-up.md", markdown); !done) return done.fault();
    const auto document = folder / "write-up.html";
    const auto html = report::htmlOf(made->document, *pictures);
    if (auto done = library::writeWholeFile(document, html); !done) return done.fault();
    return WrittenReport{document, pictures->size(), std::move(made->fresh)};
}

verbs::ExitCode drawReport(const verbs::ReportArguments& arguments, const verbs::Streams& streams) {
    const Offscreen offscreen;
    std::optional<Result<WrittenReport>> written;
    {
        auto library = verbs::openLibrary(arguments.library);
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
