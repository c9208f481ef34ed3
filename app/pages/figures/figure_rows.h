#pragma once

#include <QString>
#include <optional>

#include "app/document/library_contents.h"
#include "core/report/figures/figure_request.h"

/// From what a view shows to a figure of the library.
namespace beatwitness::app {

/// "Agreement map of the band".
[[nodiscard]] QString nameOfFigure(const report::FigureRequest& request);

/// The request as a row, by ids; what it names that the library does not have is left out. Nothing where the
/// project is not there.
[[nodiscard]] std::optional<library::FigureParticulars> figureRowOf(const LibraryContents& contents,
                                                                    const report::FigureRequest& request);

/// A figure of that kind which can be drawn as it is: kinds of one device take the project's first, paired
/// ones the first two.
[[nodiscard]] library::FigureParticulars newFigure(const LibraryContents& contents,
                                                   library::ProjectId project, report::FigureKind kind);

/// How many devices a kind shows at least and at most.
struct DeviceCount {
    std::size_t least = 0, most = 1000;
};
[[nodiscard]] DeviceCount devicesShown(report::FigureKind kind);

/// For files: `name` without what a file system or a shell trips over; never empty.
[[nodiscard]] QString fileNameOf(const QString& name);

}  // namespace beatwitness::app
