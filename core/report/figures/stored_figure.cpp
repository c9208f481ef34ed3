// From a figure that is kept in the library to what is asked of it.
#include <fmt/format.h>

#include "core/report/figures/figure_request.h"

namespace beatwitness::report {
namespace {

/// Labels of `ids` in the order of `ids`.
template <class RowId>
Result<std::vector<std::string>> labelsOf(library::Library& library, const std::vector<RowId>& ids) {
    std::vector<std::string> labels;
    for (const auto id : ids) {
        auto is = library.particulars(id);
        if (!is) return is.fault();
        labels.push_back(std::move(is->label));
    }
    return labels;
}

}  // namespace

Result<FigureRequest> requestOf(library::Library& library, const library::FigureParticulars& figure) {
    const auto& content = figure.content;
    const auto kind = figureKindOf(content.kind);
    const auto scale = scaleOf(content.scale);
    if (!kind || !scale)
        return Fault{FaultCode::WrongUsage,
                     fmt::format("the figure \"{}\" is of the kind \"{}\", which this program does not know; "
                                 "a later one made it",
                                 figure.name, content.kind),
                     {},
                     {},
                     {}};
    const auto project = library.particulars(figure.project);
    if (!project) return project.fault();
    auto devices = labelsOf(library, content.devices);
    if (!devices) return devices.fault();
    auto activities = labelsOf(library, content.activities);
    if (!activities) return activities.fault();
    FigureRequest request;
    request.kind = *kind;
    request.project = project->label;
    if (showsSession(*kind)) request.sessionId = content.session;
    request.devices = std::move(*devices);
    request.activities = std::move(*activities);
    request.clock = content.aligned ? evaluation::Clock::Aligned : evaluation::Clock::AsRecorded;
    request.excludeReferenceFaults = content.excludeReferenceFaults;
    request.epoch_s = content.epoch_s;
    request.begin_s = content.begin_s;
    request.end_s = content.end_s;
    request.flags = content.flags;
    request.phases = content.phases;
    request.pins = content.pins;
    request.errorStrip = content.errorStrip;
    request.mapBeside = content.mapBeside;
    request.scale = *scale;
    request.title = figure.texts.title;
    request.subtitle = figure.texts.subtitle;
    request.caption = figure.texts.caption;
    return request;
}

}  // namespace beatwitness::report
