#include "core/report/agreement_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "core/report/figures/comparison_scenes.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"

namespace beatwitness::report {
namespace {

using evaluation::GroupKey;
using evaluation::SessionEvidence;

std::optional<FigureKind> kindOf(AgreementPart part) {
    switch (part) {
        case AgreementPart::Map:
            return FigureKind::Map;
        case AgreementPart::Difference:
            return FigureKind::Difference;
        case AgreementPart::Distribution:
            return FigureKind::Distribution;
        case AgreementPart::Ranges:
            return FigureKind::ErrorByRange;
        case AgreementPart::SmallMaps:
            return FigureKind::SmallMaps;
        case AgreementPart::Attribution:
            return FigureKind::Attribution;
        case AgreementPart::Table:
            return std::nullopt;
    }
    return std::nullopt;
}

FigureRequest requestOfView(const AgreementAsk& ask) {
    FigureRequest request;
    request.kind = kindOf(ask.part).value_or(FigureKind::Map);
    request.project = ask.project;
    request.devices = ask.scope.devices;
    request.activities = ask.scope.activities;
    request.clock = ask.clock;
    request.excludeReferenceFaults = ask.excludeReferenceFaults;
    request.epoch_s = ask.epoch_s;
    request.scale = ask.scale;
    return request;
}

int colourOf(const AgreementAsk& ask, const std::string& device) {
    const auto at = static_cast<std::size_t>(std::ranges::find(ask.devices, device) - ask.devices.begin());
    return at < ask.colours.size() ? ask.colours[at] : static_cast<int>(at);
}

/// Evidence of one look as figures take it, each device in its own colour.
FigureEvidence figured(std::vector<SessionEvidence> evidence, const AgreementAsk& ask,
                       const std::vector<agreement::Criterion>& criteria, std::size_t failedAttempts) {
    FigureEvidence found;
    found.question.project = ask.project;
    found.question.excludeReferenceFaults = ask.excludeReferenceFaults;
    found.question.epoch_s = ask.epoch_s;
    found.question.criteria = criteria;
    found.failedAttempts = failedAttempts;
    std::set<std::string> devices, activities;
    for (auto& one : evidence) {
        if (one.secondReference) {
            found.references.push_back(std::move(one));
            continue;
        }
        devices.insert(one.device);
        activities.insert(one.activity);
        found.evidence.push_back(std::move(one));
    }
    found.devices = {devices.begin(), devices.end()};
    found.activities = {activities.begin(), activities.end()};
    for (const auto& device : found.devices)
        found.colours.push_back(colourOf(ask, device));
    return found;
}

/// The same of one device alone.
FigureEvidence of(const FigureEvidence& all, const std::string& device) {
    FigureEvidence own = all;
    std::erase_if(own.evidence, [&](const auto& one) { return one.device != device; });
    own.devices = {device};
    own.colours = {all.colourOf(device)};
    return own;
}

/// All panels on one scale of errors and of rates.
void shareScales(std::vector<Panel>& panels) {
    for (auto axis : {&Panel::x, &Panel::y}) {
        const auto [lowest, highest] =
            std::pair{std::ranges::min(panels, {}, [&](const Panel& p) { return (p.*axis).lowest; }),
                      std::ranges::max(panels, {}, [&](const Panel& p) { return (p.*axis).highest; })};
        for (auto& panel : panels) {
            (panel.*axis).lowest = (lowest.*axis).lowest;
            (panel.*axis).highest = (highest.*axis).highest;
        }
    }
}

/// Difference plots of all devices beside each other.
Result<Scene> differences(const FigureEvidence& evidence, const FigureRequest& request) {
    if (evidence.devices.size() == 1) return differenceFigure(evidence, request);
    std::optional<Scene> scene;
    std::optional<Fault> fault;
    for (const auto& device : evidence.devices) {
        auto one = differenceFigure(of(evidence, device), request);
        if (!one) {
            fault = one.fault();
            continue;
        }
        auto panel = std::move(one->rows.front().panels.front());
        panel.title = device;
        if (!scene) {
            scene = std::move(*one);
            scene->rows.front().panels.clear();
        }
        scene->rows.front().panels.push_back(std::move(panel));
    }
    if (!scene) return *fault;
    const auto words = pooledWords(
        evidence, request, "Error of the " + listed(evidence.devices) + " over heart rate",
        "Difference plots with bias and 95 % limits of agreement; bands are their 95 % intervals.");
    scene->title = words.title;
    scene->subtitle = words.subtitle;
    scene->caption = words.caption;
    // The ramp of each goes to its own largest count.
    scene->legend = {
        {"few to many seconds in a cell, each device on its own", Paint::ink(), LegendEntry::Sample::Ramp}};
    shareScales(scene->rows.front().panels);
    return std::move(*scene);
}

/// How far two references are apart, as a rule through bars of errors.
void addFloor(Scene& scene, const std::vector<evaluation::AgreementGroup>& floor) {
    for (const auto& group : floor)
        if (const auto& mae = group.timeWeighted.mae; mae.value && !scene.rows.empty())
            for (auto& panel : scene.rows.front().panels)
                panel.marks.emplace_back(Rule{0.0, *mae.value, true, Paint::reference(), Dash::Dotted, 1.0,
                                              true, "two references " + figureNumber(mae.value)});
}

Result<Scene> sceneOf(const FigureEvidence& evidence, const FigureRequest& request,
                      const AgreementView& view) {
    switch (view.ask.part) {
        case AgreementPart::Difference:
            return differences(evidence, request);
        case AgreementPart::Distribution:
            return distributionFigure(evidence, request);
        case AgreementPart::Ranges:
            return errorByRangeFigure(evidence, request);
        case AgreementPart::Map:  // seconds of two devices never share one
        case AgreementPart::SmallMaps:
            return smallMapsFigure(evidence, request);
        default:
            break;
    }
    auto scene = attributionFigure(evidence, request);
    if (scene) addFloor(*scene, view.floor);
    return scene;
}

std::vector<MapSession> mapOf(const FigureEvidence& evidence, const AgreementAsk& ask) {
    std::vector<MapSession> sessions;
    for (const auto& one : evidence.evidence) {
        auto seconds = one.under(ask.clock).seconds;
        if (ask.epoch_s > 1)
            seconds =
                std::make_shared<const agreement::PairedSeconds>(agreement::inEpochs(*seconds, ask.epoch_s));
        sessions.push_back({one.session, one.sessionName, one.device, std::move(seconds)});
    }
    return sessions;
}

void pool(AgreementView& view, const FigureEvidence& evidence, const FigureRequest& request) {
    view.devices = groupsBy(evidence, request, {GroupKey::Device});
    // One activity is all of it: the same numbers under one more label.
    if (evidence.activities.size() > 1)
        // Their limits stand beside those of one device alone.
        view.activities = evidence.devices.size() == 1
                              ? groupsBy(evidence, request, {GroupKey::Device, GroupKey::Activity})
                              : meansBy(evidence, request, {GroupKey::Device, GroupKey::Activity});
    if (view.ask.part == AgreementPart::Table) {
        std::vector<GroupKey> by{GroupKey::Device};
        by.insert(by.end(), view.ask.by.begin(), view.ask.by.end());
        view.table = by.size() == 1 ? view.devices : groupsBy(evidence, request, by);
    }
    auto question = evidence.question;
    question.clock = request.clock;
    question.meansOnly = true;
    view.floor = evaluation::referenceFloor(evidence.references, question);
}

}  // namespace

AgreementChoices choicesIn(const std::vector<SessionEvidence>& evidence) {
    std::set<std::string> devices, activities, phases, wearers;
    std::set<std::pair<std::string, std::string>> firmware;
    std::set<int> ranges;
    for (const auto& one : evidence) {
        if (one.secondReference) continue;
        devices.insert(one.device);
        activities.insert(one.activity);
        wearers.insert(one.wearer);
        firmware.emplace(one.device, one.firmware);
        for (const auto& phase : one.phases)
            phases.insert(phase.kind);
        for (const double rate : one.asRecorded.seconds->reference)
            ranges.insert(static_cast<int>(std::floor(rate)) / evaluation::rangeWidth_bpm *
                          evaluation::rangeWidth_bpm);
    }
    return {{devices.begin(), devices.end()}, {activities.begin(), activities.end()},
            {phases.begin(), phases.end()},   {ranges.begin(), ranges.end()},
            firmware.size() > devices.size(), wearers.size() > 1};
}

AgreementView agreementView(const std::vector<SessionEvidence>& evidence, const AgreementChoices& choices,
                            const AgreementAsk& ask, const std::vector<agreement::Criterion>& criteria,
                            std::size_t failedAttempts) {
    AgreementView view;
    view.ask = ask;
    view.choices = choices;
    view.failedAttempts = failedAttempts;
    const auto found = figured(evaluation::narrowed(evidence, ask.scope), ask, criteria, failedAttempts);
    std::set<std::int64_t> sessions;
    for (const auto& one : found.evidence) {
        const auto& sums = one.under(ask.clock).summary.sums;
        view.pairs += sums.n;
        if (sums.n > 0) sessions.insert(one.session);
    }
    view.sessions = sessions.size();
    if (view.pairs == 0) {
        view.nothing =
            "Nothing in this scope has a second in which both the reference and the device have a value.";
        return view;
    }
    const auto request = requestOfView(ask);
    pool(view, found, request);
    if (ask.part == AgreementPart::Map && found.devices.size() == 1) {
        view.map = mapOf(found, ask);
    } else if (ask.part != AgreementPart::Table) {
        auto scene = sceneOf(found, request, view);
        if (scene)
            view.scene = std::move(*scene);
        else
            view.nothing = sentenceCase(scene.fault().message) + ".";
    }
    if (view.scene) view.scene->footnote.clear();
    return view;
}

std::optional<FigureRequest> figureOf(const AgreementAsk& ask) {
    if (!kindOf(ask.part) || ask.project.empty()) return std::nullopt;
    if (!ask.scope.phases.empty() || !ask.scope.ranges.empty() || !ask.scope.sessions.empty())
        return std::nullopt;
    auto request = requestOfView(ask);
    const bool one = ask.part == AgreementPart::Map || ask.part == AgreementPart::Difference;
    // A map shows one device; all of them beside each other are small maps.
    if (one && request.devices.size() != 1 && ask.devices.size() != 1) {
        if (ask.part == AgreementPart::Difference) return std::nullopt;
        request.kind = FigureKind::SmallMaps;
    }
    if (one && request.devices.empty() && ask.devices.size() == 1) request.devices = ask.devices;
    return request;
}

}  // namespace beatwitness::report
