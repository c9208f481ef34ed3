#include "core/report/figures/compared_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <sstream>

#include "core/evaluation/project_agreement.h"
#include "core/report/comparison_summary.h"
#include "core/report/figures/project_evidence.h"

namespace beatwitness::report {
namespace {

using evaluation::ComparedSide;
using evaluation::SessionEvidence;

constexpr std::size_t mapsAcross = 3;

FigureRequest requestFor(const ComparedAsk& ask, std::vector<std::string> devices) {
    FigureRequest request;
    request.project = ask.project;
    request.devices = std::move(devices);
    request.clock = ask.clock;
    request.epoch_s = ask.epoch_s;
    request.excludeReferenceFaults = ask.excludeReferenceFaults;
    return request;
}

std::optional<Scene> onPage(Result<Scene> scene) {
    if (!scene) return std::nullopt;
    scene->footnote.clear();
    return std::move(*scene);
}

bool holds(const std::vector<ComparedSide>& sides, const std::string& name) {
    return std::ranges::any_of(sides, [&](const auto& side) { return sideName(side) == name; });
}

/// As asked where both are there; else the first two devices, else the first two versions or years.
void chooseSides(ComparedView& view, const ComparedAsk& ask) {
    view.a = holds(view.sides, ask.a) ? ask.a : "";
    view.b = holds(view.sides, ask.b) && ask.b != view.a ? ask.b : "";
    std::vector<std::string> names;
    const auto take = [&](bool whole) {
        for (const auto& side : view.sides)
            if ((side.firmware.empty() && !side.year) == whole) names.push_back(sideName(side));
    };
    take(true);
    if (names.size() < 2) {
        // One device alone is nothing to hold its own parts against.
        std::vector<std::string> devices;
        devices.swap(names);
        take(false);
        names.insert(names.end(), devices.begin(), devices.end());
    }
    for (auto* side : {&view.a, &view.b})
        for (const auto& name : names)
            if (side->empty() && name != view.a && name != view.b) *side = name;
    if (view.a.empty() || view.b.empty()) view.a.clear(), view.b.clear();
}

/// The device behind a side.
std::string deviceOf(const std::vector<ComparedSide>& sides, const std::string& name) {
    const auto found = std::ranges::find_if(sides, [&](const auto& side) { return sideName(side) == name; });
    return found == sides.end() ? name : found->device;
}

/// Whoever draws one device alone gives it the first colour; the second side keeps its own.
void recolour(Scene& scene, int index) {
    const auto paint = [index](Paint& is) {
        if (is.role == Paint::Role::Device) is = Paint::device(index);
    };
    for (auto& row : scene.rows)
        for (auto& panel : row.panels)
            for (auto& mark : panel.marks)
                if (auto* interval = std::get_if<IntervalMark>(&mark)) {
                    paint(interval->paint);
                    interval->shape = index;
                }
    for (auto& entry : scene.legend) {
        paint(entry.paint);
        entry.shape = index;
    }
}

}  // namespace

std::string choicesText(const ComparedAsk& ask) {
    auto text = fmt::format("clock={}\nepoch_s={}\nreference_faults={}\n", evaluation::clockName(ask.clock),
                            ask.epoch_s, ask.excludeReferenceFaults ? "exclude" : "keep");
    if (ask.margin_bpm) text += fmt::format("margin_bpm={}\n", *ask.margin_bpm);
    return text;
}

void takeChoices(ComparedAsk& ask, const std::string& text) {
    ask.margin_bpm.reset();
    std::istringstream in{text};
    for (std::string line; std::getline(in, line);) {
        const auto at = line.find('=');
        if (at == std::string::npos) continue;
        const auto word = line.substr(0, at), value = line.substr(at + 1);
        double number = 0;
        const bool isNumber =
            std::from_chars(value.data(), value.data() + value.size(), number).ec == std::errc{};
        if (word == "clock")
            ask.clock = value == "as_recorded" ? evaluation::Clock::AsRecorded : evaluation::Clock::Aligned;
        if (word == "epoch_s" && isNumber) ask.epoch_s = static_cast<int>(std::clamp(number, 1.0, 60.0));
        if (word == "reference_faults") ask.excludeReferenceFaults = value != "keep";
        if (word == "margin_bpm" && isNumber && number > 0) ask.margin_bpm = number;
    }
}

Result<ComparedView> comparedView(const std::vector<SessionEvidence>& evidence, const ComparedAsk& ask,
                                  const std::vector<agreement::Criterion>& criteria,
                                  std::size_t failedAttempts) {
    ComparedView view;
    view.sides = evaluation::sidesIn(evidence);
    if (view.sides.empty())
        return Fault{
            FaultCode::NothingToCompare,
            "the project \"" + ask.project +
                "\" holds no session with a reference and a test device, so there is nothing to compare",
            {},
            {},
            {}};
    chooseSides(view, ask);
    if (view.a.empty()) return view;
    const auto request = requestFor(ask, {view.a, view.b});
    const auto sideEvidence = [&] {
        std::vector<SessionEvidence> kept;
        for (const auto& one : evidence)
            if (one.secondReference || one.device == deviceOf(view.sides, view.a) ||
                one.device == deviceOf(view.sides, view.b))
                kept.push_back(one);
        return kept;
    }();
    auto figures = figureEvidenceOf(request, sideEvidence, criteria, failedAttempts);
    if (!figures) return figures.fault();
    figures->devices = {view.a, view.b};  // a has the first colour, whatever the order of letters
    figures->question.compare = {{view.a, view.b}};
    figures->question.margin_bpm = ask.margin_bpm;
    view.comparisons = evaluation::compareDevices(figures->evidence, figures->question, ask.clock);
    view.words = comparisonSummary(view.comparisons);
    view.maps = onPage(smallMapsFigure(*figures, request, mapsAcross));
    view.intervals = onPage(intervalsFigure(*figures, request));
    view.paired = onPage(pairedFigure(*figures, request));
    view.attribution = onPage(attributionFigure(*figures, request));
    std::vector<std::string> devices{deviceOf(view.sides, view.a)};
    if (const auto other = deviceOf(view.sides, view.b); other != devices.front()) devices.push_back(other);
    const auto overTime = requestFor(ask, devices);
    if (auto dated = figureEvidenceOf(overTime, sideEvidence, criteria, failedAttempts)) {
        dated->devices = devices;
        view.overTime = onPage(overTimeFigure(*dated, overTime));
    }
    return view;
}

std::vector<Scene> comparedStanding(const std::vector<SessionEvidence>& evidence,
                                    const std::vector<SessionEvidence>& other, const ComparedAsk& ask,
                                    const std::vector<agreement::Criterion>& criteria) {
    std::vector<Scene> scenes;
    for (const auto& name : {ask.a, ask.b}) {
        const auto side = evaluation::sideOf(name, evidence);
        if (!side) continue;
        const auto request = requestFor(ask, {name});
        auto own = figureEvidenceOf(request, evaluation::evidenceBySide(evidence, {*side}), criteria, 0);
        if (!own) continue;
        auto scene = onPage(standingFigure(*own, evaluation::evidenceBySide(other, {*side}), request));
        if (!scene) continue;
        recolour(*scene, name == ask.a ? 0 : 1);
        scenes.push_back(std::move(*scene));
    }
    return scenes;
}

FigureRequest figureOf(const ComparedAsk& ask, FigureKind kind) {
    auto request = requestFor(ask, {ask.a, ask.b});
    request.kind = kind;
    if (kind == FigureKind::Robustness || kind == FigureKind::Card) request.devices = {ask.a};
    return request;
}

}  // namespace beatwitness::report
