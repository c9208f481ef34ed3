// Figures that set devices, activities and choices beside each other.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "core/evaluation/robustness.h"
#include "core/report/figures/comparison_scenes.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"

namespace beatwitness::report {
namespace {

using evaluation::GroupKey;

Fault twoDevicesNeeded(const FigureEvidence& evidence) {
    return {FaultCode::WrongUsage,
            "this kind of figure holds two devices against each other; expected two of " +
                listed(evidence.devices),
            {},
            {},
            {}};
}

std::string sessionsWords(std::size_t sessions) {
    return counted(static_cast<double>(sessions), "session", "sessions");
}

/// The part of the error that flags explain, largest first.
std::vector<agreement::AttributionRow> flaggedRows(const std::vector<agreement::AttributionRow>& rows) {
    std::vector<agreement::AttributionRow> flagged;
    for (const auto& row : rows)
        if (flags::flagKindOf(row.kind) && row.contribution.value > 0) flagged.push_back(row);
    std::ranges::stable_sort(flagged, std::ranges::greater{},
                             [](const agreement::AttributionRow& row) { return row.contribution.value; });
    return flagged;
}

Statement maeStatement(const evaluation::AgreementGroup& group, int colour) {
    const auto& mae = group.timeWeighted.mae;
    Statement statement;
    statement.label = "mean absolute error";
    statement.value = figureNumber(mae.value) + " bpm";
    statement.paint = Paint::device(colour);
    statement.note = mae.ci95 ? fmt::format("95 % interval {} to {} over {}", figureNumber(mae.ci95->lower),
                                            figureNumber(mae.ci95->upper), sessionsWords(group.sessions))
                              : fmt::format("{}: too few for an interval", sessionsWords(group.sessions));
    return statement;
}

Statement withinStatement(const evaluation::AgreementGroup& group, int colour) {
    const auto& within = group.timeWeighted.within5Bpm;
    Statement statement;
    statement.label = "within 5 bpm";
    statement.value = figureNumber(within.value, 0) + " %";
    statement.paint = Paint::device(colour);
    statement.note = fmt::format("of {} paired seconds", countWords(group.pairs));
    if (group.coverage)
        statement.note +=
            fmt::format("; it had a value in {} % of the time", figureNumber(group.coverage->value, 0));
    return statement;
}

Statement failureStatement(const evaluation::AgreementGroup& group, int colour) {
    Statement statement;
    statement.paint = Paint::device(colour);
    const auto flagged = flaggedRows(group.attribution);
    if (flagged.empty()) {
        statement.label = "largest failure";
        statement.value = "none";
        statement.note = "no flag accounts for a part of the error";
        return statement;
    }
    statement.label = kindWords(flagged.front().kind) + " makes up";
    statement.value = figureNumber(flagged.front().share.value, 0) + " %";
    statement.note = "of the mean absolute error";
    if (flagged.size() > 1)
        statement.note += fmt::format("; {} another {} %", kindWords(flagged[1].kind),
                                      figureNumber(flagged[1].share.value, 0));
    return statement;
}

/// A limit on the mean absolute error that concerns every device and activity.
std::optional<SetLimit> limitOf(const FigureEvidence& evidence) {
    for (const auto& criterion : evidence.question.criteria)
        if (criterion.metric == agreement::Metric::Mae && criterion.device.empty() &&
            criterion.activity.empty())
            return SetLimit{criterion.limit, fmt::format("limit set: {} bpm", figureNumber(criterion.limit))};
    return std::nullopt;
}

/// "Does not meet: MAPE at most 5.0 %", of the first criterion that concerns the group; empty without one.
std::string verdictWordsOf(const evaluation::AgreementGroup& group) {
    if (group.criteria.empty()) return {};
    const auto& result = group.criteria.front();
    const auto& facts = agreement::factsOf(result.criterion.metric);
    const bool atMost = result.criterion.sense == agreement::Sense::AtMost;
    return fmt::format("{}: {} {} {} {}", sentenceCase(std::string(agreement::verdictName(result.verdict))),
                       facts.name, atMost ? "at most" : "at least", figureNumber(result.criterion.limit),
                       facts.unit);
}

}  // namespace

Result<Scene> intervalsFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    std::vector<Estimate> estimates;
    const auto add = [&](const std::vector<evaluation::AgreementGroup>& groups, bool all) {
        for (const auto& group : groups) {
            const auto& mae = group.timeWeighted.mae;
            if (!mae.value) continue;
            const auto device = labelOf(group, GroupKey::Device);
            const auto activity = labelOf(group, GroupKey::Activity);
            estimates.push_back({all                ? "all"
                                 : activity.empty() ? "no activity"
                                                    : activity,
                                 device, evidence.colourOf(device), *mae.value, intervalOf(mae),
                                 sessionsWords(group.sessions)});
        }
    };
    auto byActivity = groupsBy(evidence, request, {GroupKey::Device, GroupKey::Activity});
    std::ranges::stable_sort(byActivity, {},
                             [](const auto& group) { return labelOf(group, GroupKey::Activity); });
    add(byActivity, false);
    if (evidence.activities.size() > 1) add(groupsBy(evidence, request, {GroupKey::Device}), true);
    return intervalsScene(
        estimates, "mean absolute error, bpm, with 95 % intervals over sessions", limitOf(evidence),
        pooledWords(evidence, request, "Mean absolute error of the " + listed(evidence.devices),
                    "Mean absolute error, time-weighted, with 95 % intervals over sessions."));
}

Result<Scene> pairedFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    if (evidence.devices.size() != 2) return twoDevicesNeeded(evidence);
    const auto &a = evidence.devices[0], &b = evidence.devices[1];
    auto question = evidence.question;
    question.compare.emplace_back(a, b);
    std::vector<PairedRow> rows;
    double sessions = 0.0;
    for (const auto& comparison : evaluation::compareDevices(evidence.evidence, question, request.clock)) {
        if (!comparison.paired) continue;
        PairedRow row;
        row.row = comparison.allActivities      ? "all, equal weight"
                  : comparison.activity.empty() ? "no activity"
                                                : comparison.activity;
        for (const auto& metric : comparison.metrics)
            if (metric.key == "mae_bpm") {
                row.sessions = metric.sessionDifferences;
                row.mean = metric.difference;
                if (metric.ci95) row.interval = std::array{metric.ci95->lower, metric.ci95->upper};
            }
        if (!comparison.allActivities) sessions += static_cast<double>(comparison.sessions);
        rows.push_back(std::move(row));
    }
    if (rows.empty())
        return Fault{
            FaultCode::NothingToCompare,
            fmt::format("{} and {} share no two sessions of one activity, so their errors cannot be paired",
                        a, b),
            {},
            {},
            {}};
    auto words = pooledWords(
        evidence, request, sentenceCase(a) + " and " + b + ", session by session",
        "Difference of mean absolute errors on the seconds in which the reference and both devices "
        "have a value; t intervals over sessions.");
    words.subtitle = counted(sessions, "shared session", "shared sessions") + " \u00b7 " + words.subtitle;
    return pairedScene(rows, a, b, words);
}

Result<Scene> attributionFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    std::vector<AttributedDevice> devices;
    for (const auto& group : groupsBy(evidence, request, {GroupKey::Device})) {
        const auto device = labelOf(group, GroupKey::Device);
        devices.push_back({device, evidence.colourOf(device), group.attribution});
    }
    return attributionScene(
        devices,
        pooledWords(evidence, request, "What the error of the " + listed(evidence.devices) + " is made of",
                    "Contribution of each failure kind to the mean absolute error; the parts "
                    "add up to it. \"Within tolerance\" are unflagged seconds with an error of at "
                    "most 5 bpm or 10 %."));
}

Result<Scene> robustnessFigure(library::Library& library, const FigureEvidence& evidence,
                               const FigureRequest& request, const RunControl& run) {
    if (evidence.devices.size() != 1)
        return Fault{FaultCode::WrongUsage,
                     "this kind of figure shows one device; expected one of " + listed(evidence.devices),
                     {},
                     {},
                     {}};
    auto question = evidence.question;
    question.by = {GroupKey::Device};
    auto other = question;
    other.excludeReferenceFaults = !question.excludeReferenceFaults;
    auto opposite = evaluation::projectEvidence(library, other, run);
    if (!opposite) return opposite.fault();
    std::erase_if(opposite->evidence, [](const auto& item) { return item.secondReference; });
    const auto& excluding = question.excludeReferenceFaults ? evidence.evidence : opposite->evidence;
    const auto& keeping = question.excludeReferenceFaults ? opposite->evidence : evidence.evidence;
    std::vector<Estimate> estimates;
    for (const auto& standing :
         evaluation::robustness(excluding, keeping, question, agreement::Metric::Mae, {}))
        for (const auto& row : standing.rows) {
            if (!row.figure.value) continue;
            const std::string name =
                !row.without.empty()
                    ? "without " + row.without
                    : fmt::format("{}, {} s, faults {}",
                                  row.clock == evaluation::Clock::Aligned ? "aligned" : "as recorded",
                                  row.epoch_s, row.excludeReferenceFaults ? "left out" : "kept");
            estimates.push_back({name + (row.chosen ? " (chosen)" : ""), evidence.devices.front(), 0,
                                 *row.figure.value, intervalOf(row.figure), ""});
        }
    auto scene = intervalsScene(
        estimates, "mean absolute error, bpm, with 95 % intervals over sessions", {},
        pooledWords(evidence, request, "How the error of the " + evidence.devices.front() + " stands up",
                    "The same figure under other clocks, epochs and reference faults, and without each "
                    "session in turn."));
    scene.aspect = std::min(1.0, 32.0 / static_cast<double>(std::max<std::size_t>(estimates.size(), 1)));
    return scene;
}

Result<Scene> cardFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    if (evidence.devices.size() != 1)
        return Fault{FaultCode::WrongUsage,
                     "a card shows one device; expected one of " + listed(evidence.devices),
                     {},
                     {},
                     {}};
    const auto groups = groupsBy(evidence, request, {GroupKey::Device});
    if (groups.empty())
        return Fault{FaultCode::NothingToCompare, "there is no paired second to show", {}, {}, {}};
    const auto& group = groups.front();
    const auto& device = evidence.devices.front();
    const int colour = evidence.colourOf(device);
    const auto title = sentenceCase(device) +
                       (request.activities.empty() ? ", all activities" : ", " + listed(request.activities));
    return cardScene(
        {maeStatement(group, colour), withinStatement(group, colour), failureStatement(group, colour)},
        verdictWordsOf(group), pooledWords(evidence, request, title, "Summary of the pooled agreement."));
}

}  // namespace beatwitness::report
