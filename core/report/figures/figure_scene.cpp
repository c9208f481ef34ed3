// From a request to a scene, and what is written into the file beside the picture.
#include <fmt/format.h>

#include <set>
#include <span>

#include "core/analysis/settings_table.h"
#include "core/analysis/wearing_outcome.h"
#include "core/evaluation/outcomes.h"
#include "core/foundation/version.h"
#include "core/recording/digest.h"
#include "core/report/figures/figure_request.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/json_values.h"

namespace beatwitness::report {
namespace {

/// The thresholds of the project that the figure is of.
std::vector<analysis::SettingRow> settingsFor(library::Library& library, const FigureRequest& request) {
    const auto project = library.findProject(request.project);
    const auto settings = project ? evaluation::projectSettings(library, *project)
                                  : Result<analysis::Settings>{project.fault()};
    return analysis::settingsTable(settings ? *settings : analysis::Settings{});
}

/// Whether the figure draws from this session.
bool isAsked(const library::SessionRow& row, const FigureRequest& request) {
    if (request.sessionId) return row.id == *request.sessionId;
    return request.session.empty() || row.name == request.session;
}

std::string sessionName(library::Library& library, const FigureRequest& request) {
    if (!request.sessionId) return request.session;
    const auto row = library.session(*request.sessionId);
    return row ? row->name : request.session;
}

/// Digests of the recordings that the figure may draw from.
Json recordingDigests(library::Library& library, const FigureRequest& request) {
    Json digests = Json::array();
    const auto project = library.findProject(request.project);
    if (!project) return digests;
    const auto rows = library.sessionsOf(*project);
    if (!rows) return digests;
    std::set<std::int64_t> wanted;
    for (const auto& row : *rows)
        if (isAsked(row, request))
            for (const auto& wearing : row.wearings)
                for (const auto& use : wearing.recordings)
                    wanted.insert(use.recording.value);
    const auto all = library.storedFiles();
    if (!all) return digests;
    for (const auto& file : *all)
        if (wanted.contains(file.id.value)) digests.push_back(file.sha256);
    return digests;
}

Result<Scene> pooled(library::Library& library, const FigureRequest& request, const FigureEvidence& evidence,
                     const RunControl& run) {
    switch (request.kind) {
        case FigureKind::Map:
            return mapFigure(evidence, request);
        case FigureKind::SmallMaps:
            return smallMapsFigure(evidence, request);
        case FigureKind::Difference:
            return differenceFigure(evidence, request);
        case FigureKind::Distribution:
            return distributionFigure(evidence, request);
        case FigureKind::ErrorByRange:
            return errorByRangeFigure(evidence, request);
        case FigureKind::Intervals:
            return intervalsFigure(evidence, request);
        case FigureKind::Paired:
            return pairedFigure(evidence, request);
        case FigureKind::Attribution:
            return attributionFigure(evidence, request);
        case FigureKind::OverTime:
            return overTimeFigure(evidence, request);
        case FigureKind::Robustness:
            return robustnessFigure(library, evidence, request, run);
        default:
            return cardFigure(evidence, request);
    }
}

Result<MadeFigure> made(library::Library& library, const FigureRequest& request, const RunControl& run) {
    const auto alone = [](Result<Scene> scene) -> Result<MadeFigure> {
        if (!scene) return scene.fault();
        return MadeFigure{std::move(*scene), {}, {}};
    };
    if (request.kind == FigureKind::Overlay) {
        auto timed = overlayFigure(library, request, run);
        if (!timed) return timed.fault();
        return MadeFigure{std::move(timed->scene), {}, std::move(timed->motion)};
    }
    if (request.kind == FigureKind::LossCurve) return alone(lossCurveFigure(library, request, run));
    if (request.kind == FigureKind::Sessions) return alone(sessionsFigure(library, request, run));
    auto evidence = figureEvidence(library, request, run);
    if (!evidence) return evidence.fault();
    auto scene = pooled(library, request, *evidence, run);
    if (!scene) return scene.fault();
    MadeFigure figure{std::move(*scene), std::move(evidence->fresh), {}};
    if (request.kind == FigureKind::Map) figure.motion = mapMotion(*evidence, request);
    return figure;
}

}  // namespace

std::string settingsDigest(std::span<const analysis::SettingRow> settings) {
    std::string text;
    for (const auto& setting : settings)
        text += fmt::format("{}={}\n", setting.key, setting.value);
    return recording::sha256(std::as_bytes(std::span{text.data(), text.size()}));
}

std::string figureDefinition(library::Library& library, const FigureRequest& request) {
    Json json{{"schema", "beatwitness.figure/1"},
              {"kind", figureKindName(request.kind)},
              {"project", request.project},
              {"session", sessionName(library, request)},
              {"devices", request.devices},
              {"activities", request.activities},
              {"clock", evaluation::clockName(request.clock)},
              {"reference_faults", request.excludeReferenceFaults ? "exclude" : "keep"},
              {"epoch_s", request.epoch_s},
              {"begin_s", number(request.begin_s)},
              {"end_s", number(request.end_s)},
              {"flags", request.flags},
              {"phases", request.phases},
              {"pins", request.pins},
              {"error_strip", request.errorStrip},
              {"map_beside", request.mapBeside},
              {"scale", scaleName(request.scale)},
              {"title", request.title},
              {"subtitle", request.subtitle},
              {"caption", request.caption},
              {"program", programVersion()},
              {"analysis_version", analysis::analysisVersion},
              {"settings_sha256", settingsDigest(settingsFor(library, request))},
              {"recordings_sha256", recordingDigests(library, request)}};
    return json.dump(-1, ' ', true, Json::error_handler_t::replace);
}

Result<MadeFigure> makeFigure(library::Library& library, const FigureRequest& request,
                              const RunControl& run) {
    auto figure = made(library, request, run);
    if (!figure) return figure.fault();
    if (!request.title.empty()) figure->scene.title = request.title;
    if (!request.subtitle.empty()) figure->scene.subtitle = request.subtitle;
    if (!request.caption.empty()) figure->scene.caption = request.caption;
    return figure;
}

}  // namespace beatwitness::report
