#include "core/report/figures/figure_request.h"

#include <cassert>

namespace beatwitness::report {

std::string_view figureKindName(FigureKind kind) {
    switch (kind) {
        case FigureKind::Overlay:
            return "overlay";
        case FigureKind::Map:
            return "map";
        case FigureKind::SmallMaps:
            return "small-maps";
        case FigureKind::Difference:
            return "difference";
        case FigureKind::Distribution:
            return "distribution";
        case FigureKind::ErrorByRange:
            return "error-by-range";
        case FigureKind::Intervals:
            return "intervals";
        case FigureKind::Paired:
            return "paired";
        case FigureKind::Attribution:
            return "attribution";
        case FigureKind::LossCurve:
            return "loss-curve";
        case FigureKind::Sessions:
            return "sessions";
        case FigureKind::Robustness:
            return "robustness";
        case FigureKind::Card:
            return "card";
        case FigureKind::OverTime:
            return "over-time";
    }
    assert(false);
    return "overlay";
}

std::optional<FigureKind> figureKindOf(std::string_view name) {
    for (const auto kind : allFigureKinds)
        if (figureKindName(kind) == name) return kind;
    return std::nullopt;
}

std::string_view figureKindTitle(FigureKind kind) {
    switch (kind) {
        case FigureKind::Overlay:
            return "Session overlay";
        case FigureKind::Map:
            return "Agreement map";
        case FigureKind::SmallMaps:
            return "Agreement maps side by side";
        case FigureKind::Difference:
            return "Difference plot";
        case FigureKind::Distribution:
            return "Error distribution";
        case FigureKind::ErrorByRange:
            return "Error by heart-rate range";
        case FigureKind::Intervals:
            return "Errors with intervals";
        case FigureKind::Paired:
            return "Paired differences";
        case FigureKind::Attribution:
            return "What the error is made of";
        case FigureKind::LossCurve:
            return "Clock loss curve";
        case FigureKind::Sessions:
            return "All sessions";
        case FigureKind::Robustness:
            return "How the result stands up";
        case FigureKind::Card:
            return "Summary card";
        case FigureKind::OverTime:
            return "Versions and years over time";
    }
    assert(false);
    return "Figure";
}

std::string_view scaleName(Cells::Scale scale) {
    return scale == Cells::Scale::Log ? "log" : scale == Cells::Scale::CubeRoot ? "cube-root" : "linear";
}

std::optional<Cells::Scale> scaleOf(std::string_view name) {
    for (const auto scale : {Cells::Scale::Log, Cells::Scale::CubeRoot, Cells::Scale::Linear})
        if (scaleName(scale) == name) return scale;
    return std::nullopt;
}

bool showsSession(FigureKind kind) {
    return kind == FigureKind::Overlay || kind == FigureKind::LossCurve;
}

}  // namespace beatwitness::report
