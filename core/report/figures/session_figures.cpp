// Figures of single sessions, and of all of a device's sessions side by side.
#include <fmt/format.h>

#include <algorithm>

#include "core/evaluation/outcomes.h"
#include "core/evaluation/session_view.h"
#include "core/report/cautions.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/figures/session_scenes.h"

namespace beatwitness::report {
namespace {

using library::Library;
using library::SessionRow;

constexpr std::size_t smallColumns = 4;  ///< of small multiples
constexpr std::size_t mostSmall = 60;

Result<std::vector<SessionRow>> sessionRowsOf(Library& library, const FigureRequest& request) {
    const auto project = library.findProject(request.project);
    if (!project) return project.fault();
    auto rows = library.sessionsOf(*project);
    if (!rows) return rows.fault();
    std::erase_if(*rows, [&](const SessionRow& row) {
        return !request.activities.empty() &&
               std::ranges::find(request.activities, row.activity) == request.activities.end();
    });
    return rows;
}

Result<SessionRow> sessionAsked(Library& library, const FigureRequest& request) {
    const auto rows = sessionRowsOf(library, request);
    if (!rows) return rows.fault();
    for (const auto& row : *rows)
        if (request.sessionId ? row.id == *request.sessionId
                              : request.session.empty() || row.name == request.session)
            return row;
    if (request.sessionId)
        return Fault{FaultCode::NotInLibrary,
                     "the session that this figure shows is no longer in the project \"" + request.project +
                         "\"; expected one of its sessions",
                     {},
                     {},
                     {}};
    return Fault{FaultCode::NotInLibrary,
                 request.session.empty() ? "the project \"" + request.project + "\" holds no session"
                                         : "the project \"" + request.project +
                                               "\" holds no session called \"" + request.session + "\"",
                 {},
                 {},
                 {}};
}

/// Colours go by all test devices of the project, so that a device keeps its colour from figure to figure.
Result<std::vector<std::string>> devicesOf(Library& library, const FigureRequest& request) {
    auto all = request;
    all.activities.clear();
    const auto rows = sessionRowsOf(library, all);
    if (!rows) return rows.fault();
    std::vector<std::string> devices;
    for (const auto& row : *rows)
        for (const auto& wearing : row.wearings)
            if (wearing.role == library::Role::Test &&
                std::ranges::find(devices, wearing.deviceLabel) == devices.end())
                devices.push_back(wearing.deviceLabel);
    std::ranges::sort(devices);
    return devices;
}

SessionWords wordsOf(const evaluation::SessionView& view, const std::vector<std::string>& devices) {
    SessionWords words;
    words.title = view.row.activity.empty() ? view.row.name : view.row.name + " \u00b7 " + view.row.activity;
    words.reference = view.reference;
    words.devices = view.devices;
    for (const auto& device : view.devices)
        words.deviceIndex.push_back(static_cast<int>(std::ranges::find(devices, device) - devices.begin()));
    words.phases = view.phases;
    words.pins = view.pins;
    return words;
}

/// "MAE band 8.9, watch 2.7".
std::string errorWords(const evaluation::SessionView& view, bool aligned) {
    std::string text = "MAE ";
    for (std::size_t i = 0; i < view.devices.size(); ++i) {
        const auto& test = view.session.tests[i];
        const auto& mae = (aligned ? test.view() : test.asRecorded).agreement.mae;
        text += fmt::format("{}{} {}{}", i > 0 ? ", " : "", view.devices[i],
                            figureNumber(mae ? std::optional(mae->value) : std::nullopt),
                            aligned && !test.aligned ? " (not aligned)" : "");
    }
    return text;
}

OverlayOptions optionsOf(const FigureRequest& request) {
    OverlayOptions options;
    options.aligned = request.clock == evaluation::Clock::Aligned;
    options.flags = request.flags;
    options.errorStrip = request.errorStrip;
    options.phases = request.phases;
    options.pins = request.pins;
    options.mapBeside = request.mapBeside;
    options.scale = request.scale;
    options.begin_s = request.begin_s;
    options.end_s = request.end_s;
    return options;
}

/// One session's traces without lanes and labels, for small multiples.
Panel smallPanel(const Scene& overlay, const SessionRow& row, std::string subtitle) {
    Panel panel = overlay.rows.front().panels.front();
    panel.title = row.name;
    panel.subtitle = std::move(subtitle);
    panel.y.label.clear();
    panel.x.kind = Axis::Kind::SessionTime;
    for (auto& mark : panel.marks) {
        if (auto* line = std::get_if<Line>(&mark)) line->endLabel.clear(), line->width_pt *= 0.75;
        if (auto* zone = std::get_if<Zone>(&mark)) zone->coded = false;
    }
    return panel;
}

void shareRates(std::vector<Panel>& panels) {
    double lowest = 1e9, highest = -1e9;
    for (const auto& panel : panels)
        lowest = std::min(lowest, panel.y.lowest), highest = std::max(highest, panel.y.highest);
    for (auto& panel : panels)
        panel.y.lowest = lowest, panel.y.highest = highest;
}

Scene smallMultiples(std::vector<Panel> panels) {
    Scene scene;
    scene.flows = true;
    shareRates(panels);
    const std::size_t columns = std::min(smallColumns, panels.size());
    for (std::size_t i = 0; i < panels.size(); i += columns) {
        PanelRow row;
        for (std::size_t c = 0; c < columns; ++c) {
            if (i + c < panels.size()) {
                row.panels.push_back(std::move(panels[i + c]));
                continue;
            }
            Panel blank;
            blank.x.kind = blank.y.kind = Axis::Kind::Hidden;
            row.panels.push_back(blank);
        }
        scene.rows.push_back(std::move(row));
    }
    scene.aspect =
        std::clamp(1.9 * static_cast<double>(columns) / static_cast<double>(scene.rows.size()), 0.6, 3.0);
    return scene;
}

/// The thresholds of the project that the figure is of.
Result<analysis::Settings> settingsOf(Library& library, const FigureRequest& request) {
    const auto project = library.findProject(request.project);
    if (!project) return project.fault();
    return evaluation::projectSettings(library, *project);
}

}  // namespace

Result<TimedScene> overlayFigure(Library& library, const FigureRequest& request, const RunControl& run) {
    const auto row = sessionAsked(library, request);
    if (!row) return row.fault();
    const auto settings = settingsOf(library, request);
    if (!settings) return settings.fault();
    const auto view = evaluation::sessionView(library, *row, request.devices, request.excludeReferenceFaults,
                                              *settings, run);
    if (!view) return view.fault();
    const auto devices = devicesOf(library, request);
    if (!devices) return devices.fault();
    const auto options = optionsOf(request);
    const auto [begin_s, end_s] = secondsShown(view->session, options);
    TimedScene made{overlayScene(view->session, wordsOf(*view, *devices), options),
                    {begin_s, end_s, true, {}}};
    if (options.mapBeside) made.motion.mapped = pairsShown(view->session, options);
    return made;
}

Result<Scene> lossCurveFigure(Library& library, const FigureRequest& request, const RunControl& run) {
    const auto row = sessionAsked(library, request);
    if (!row) return row.fault();
    const auto settings = settingsOf(library, request);
    if (!settings) return settings.fault();
    const auto view = evaluation::sessionView(library, *row, request.devices, request.excludeReferenceFaults,
                                              *settings, run);
    if (!view) return view.fault();
    const auto devices = devicesOf(library, request);
    if (!devices) return devices.fault();
    return lossCurveScene(view->session, 0, wordsOf(*view, *devices));
}

Result<Scene> sessionsFigure(Library& library, const FigureRequest& request, const RunControl& run) {
    const auto rows = sessionRowsOf(library, request);
    if (!rows) return rows.fault();
    const auto devices = devicesOf(library, request);
    if (!devices) return devices.fault();
    const auto settings = settingsOf(library, request);
    if (!settings) return settings.fault();
    std::vector<Panel> panels;
    std::size_t shown = 0, left = 0;
    for (const auto& row : *rows) {
        if (run.stopRequested()) return cancelled();
        if (panels.size() == mostSmall) {
            ++left;
            continue;
        }
        const auto view = evaluation::sessionView(library, row, request.devices,
                                                  request.excludeReferenceFaults, *settings, run);
        if (!view && view.fault().code == FaultCode::NothingToCompare) continue;
        if (!view) return view.fault();
        OverlayOptions options;
        options.aligned = request.clock == evaluation::Clock::Aligned;
        options.flags = request.flags;
        options.errorStrip = options.phases = options.pins = false;
        panels.push_back(smallPanel(overlayScene(view->session, wordsOf(*view, *devices), options), row,
                                    errorWords(*view, options.aligned)));
        ++shown;
    }
    if (panels.empty())
        return Fault{FaultCode::NothingToCompare,
                     "the project \"" + request.project +
                         "\" holds no session with a reference and a test device as asked",
                     {},
                     {},
                     {}};
    auto scene = smallMultiples(std::move(panels));
    const auto& named = request.devices.empty() ? *devices : request.devices;
    scene.title = "Every session of the " + listed(named);
    scene.subtitle = counted(static_cast<double>(shown), "session", "sessions") +
                     ", on one scale of heart rate; flagged stretches of the first device tinted";
    if (left > 0) scene.subtitle += fmt::format("; {} more are not shown", left);
    scene.legend.push_back({"reference", Paint::reference(), LegendEntry::Sample::Stroke});
    for (std::size_t i = 0; i < devices->size(); ++i)
        if (std::ranges::find(named, (*devices)[i]) != named.end())
            scene.legend.push_back(
                {(*devices)[i], Paint::device(static_cast<int>(i)), LegendEntry::Sample::Stroke});
    scene.caption = "Heart rate over session time in every session of the project.";
    scene.footnote = std::string(projectCautionLine());
    return scene;
}

}  // namespace beatwitness::report
