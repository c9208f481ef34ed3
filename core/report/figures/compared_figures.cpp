// Figures that set devices, activities and choices beside each other.
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <map>

#include "core/evaluation/compared_side.h"
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

Fault oneDeviceNeeded(const FigureEvidence& evidence) {
    return {FaultCode::WrongUsage,
            "this kind of figure shows one device; expected one of " + listed(evidence.devices),
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

agreement::SessionSums sumsOf(const evaluation::SessionEvidence& one, const FigureRequest& request) {
    const auto& seconds = *one.under(request.clock).seconds;
    return agreement::sumsOf(request.epoch_s > 1 ? agreement::inEpochs(seconds, request.epoch_s) : seconds);
}

/// How far two references are apart, pooled: nothing where no session had two.
std::optional<SetLimit> floorOf(const FigureEvidence& evidence, const FigureRequest& request) {
    agreement::SessionSums sums;
    for (const auto& one : evidence.references)
        sums += sumsOf(one, request);
    const auto mae = agreement::valueOf(agreement::Metric::Mae, sums);
    if (!mae) return std::nullopt;
    return SetLimit{*mae, fmt::format("two references differ by {} bpm", figureNumber(mae))};
}

Standing standingOf(const evaluation::RobustnessRow& row) {
    Standing standing;
    standing.panel = !row.without.empty()
                         ? "as asked, without one session"
                         : fmt::format("{}, reference faults {}",
                                       row.clock == evaluation::Clock::Aligned ? "aligned" : "as recorded",
                                       row.excludeReferenceFaults ? "left out" : "kept");
    standing.row = row.without.empty() ? fmt::format("{} s epochs", row.epoch_s) : row.without;
    if (row.verdict) standing.note = verdictName(*row.verdict);
    standing.value = *row.figure.value;
    standing.interval = intervalOf(row.figure);
    standing.chosen = row.chosen;
    return standing;
}

/// The sessions without which the figure moves furthest, lowest first; the others lie between.
void keepTelling(std::vector<Standing>& without) {
    constexpr std::size_t most = 10;
    std::ranges::stable_sort(without, {}, &Standing::value);
    if (without.size() <= most) return;
    without.erase(without.begin() + most / 2, without.end() - most / 2);
}

/// The difference of the mean absolute errors; without a mean where it cannot be had.
PairedRow pairedRow(const evaluation::DeviceComparison& comparison) {
    PairedRow row;
    row.row = comparison.allActivities ? comparison.bySession ? "all sessions" : "activities, equal weight"
              : comparison.activity.empty() ? "no activity"
                                            : comparison.activity;
    const auto mae = std::ranges::find(comparison.metrics, "mae_bpm", &evaluation::MetricDifference::key);
    row.sessions = mae->sessionDifferences;
    row.mean = mae->difference;
    if (mae->ci95) row.interval = std::array{mae->ci95->lower, mae->ci95->upper};
    return row;
}

double dayOf(Micros instant) {
    return static_cast<double>(instant.count()) / 86'400e6;
}

/// Firmware versions where there are two or more, else years, else all in one.
std::vector<evaluation::ComparedSide> stretchesOf(const std::vector<evaluation::SessionEvidence>& evidence) {
    auto sides = evaluation::sidesIn(evidence);
    const auto isVersion = [](const auto& side) { return !side.firmware.empty(); };
    const auto isYear = [](const auto& side) { return side.year.has_value(); };
    if (std::ranges::any_of(sides, isVersion))
        std::erase_if(sides, std::not_fn(isVersion));
    else if (std::ranges::any_of(sides, isYear))
        std::erase_if(sides, std::not_fn(isYear));
    return sides;
}

std::optional<DatedSpan> datedSpan(FigureEvidence part, const FigureRequest& request,
                                   const evaluation::ComparedSide& side) {
    std::erase_if(part.evidence, [&](const auto& one) { return !side.holds(one); });
    const auto groups = groupsBy(part, request, {GroupKey::Device});
    if (groups.empty() || !groups.front().timeWeighted.mae.value) return std::nullopt;
    DatedSpan span;
    span.label = !side.firmware.empty() ? "firmware " + side.firmware
                 : side.year            ? std::to_string(*side.year)
                                        : "all";
    const auto [first, last] = std::ranges::minmax(part.evidence, {}, &evaluation::SessionEvidence::start);
    span.firstDay = dayOf(*first.start);
    span.lastDay = dayOf(*last.start);
    span.value = *groups.front().timeWeighted.mae.value;
    span.interval = intervalOf(groups.front().timeWeighted.mae);
    return span;
}

DatedDevice datedDevice(const FigureEvidence& evidence, const FigureRequest& request,
                        const std::string& device) {
    FigureEvidence own = evidence;
    std::erase_if(own.evidence, [&](const auto& one) { return one.device != device || !one.start; });
    DatedDevice dated{device, evidence.colourOf(device), {}, {}};
    for (const auto& one : own.evidence)
        if (const auto mae = agreement::valueOf(agreement::Metric::Mae, sumsOf(one, request)))
            dated.sessions.push_back({dayOf(*one.start), *mae});
    for (const auto& side : stretchesOf(own.evidence))
        if (auto span = datedSpan(own, request, side)) dated.spans.push_back(std::move(*span));
    std::ranges::stable_sort(dated.spans, {}, &DatedSpan::firstDay);
    return dated;
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
        floorOf(evidence, request),
        pooledWords(evidence, request, "Mean absolute error of the " + listed(evidence.devices),
                    "Mean absolute error, time-weighted, with 95 % intervals over sessions."));
}

Result<Scene> pairedFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    if (evidence.devices.size() != 2) return twoDevicesNeeded(evidence);
    const auto &a = evidence.devices[0], &b = evidence.devices[1];
    auto question = evidence.question;
    question.compare = {{a, b}};
    std::vector<PairedRow> rows;
    double shared = 0.0;
    for (const auto& comparison : evaluation::compareDevices(evidence.evidence, question, request.clock)) {
        auto row = pairedRow(comparison);
        if (!row.mean) continue;
        if (!comparison.allActivities && comparison.paired)
            shared += static_cast<double>(comparison.sessions);
        rows.push_back(std::move(row));
    }
    if (rows.empty())
        return Fault{FaultCode::NothingToCompare,
                     fmt::format("{} and {} have no activity in common, so their errors cannot be held "
                                 "against each other",
                                 a, b),
                     {},
                     {},
                     {}};
    const bool paired = shared > 0;
    auto words = pooledWords(
        evidence, request,
        sentenceCase(a) + " and " + b + (paired ? ", session by session" : ", over different sessions"),
        paired ? "Difference of mean absolute errors on the seconds in which the reference and both devices "
                 "have a value; t intervals over sessions (Welch, where sessions differ)."
               : "Difference of mean absolute errors over different sessions; Welch's intervals. Weather, "
                 "fitness and the mix of activities cannot be told from the devices.");
    if (paired)
        words.subtitle = counted(shared, "shared session", "shared sessions") + " \u00b7 " + words.subtitle;
    return pairedScene(rows, a, b, words);
}

Result<Scene> attributionFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    std::vector<AttributedDevice> devices;
    for (const auto& group : meansBy(evidence, request, {GroupKey::Device})) {
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

Result<Scene> standingFigure(const FigureEvidence& evidence,
                             const std::vector<evaluation::SessionEvidence>& other,
                             const FigureRequest& request) {
    if (evidence.devices.size() != 1) return oneDeviceNeeded(evidence);
    auto question = evidence.question;
    question.by = {GroupKey::Device};
    const auto& excluding = question.excludeReferenceFaults ? evidence.evidence : other;
    const auto& keeping = question.excludeReferenceFaults ? other : evidence.evidence;
    std::vector<Standing> choices, without;
    for (const auto& result :
         evaluation::robustness(excluding, keeping, question, agreement::Metric::Mae, question.criteria)) {
        for (const auto& row : result.rows)
            if (row.figure.value) (row.without.empty() ? choices : without).push_back(standingOf(row));
    }
    keepTelling(without);
    auto words = pooledWords(
        evidence, request, "How the error of the " + evidence.devices.front() + " stands up",
        "The same figure under other clocks, epochs and reference faults, and without each session in turn, "
        "the most telling first.");
    return standingScene(choices, without, "mean absolute error, bpm, with 95 % intervals over sessions",
                         limitOf(evidence), 0, words);
}

Result<Scene> robustnessFigure(library::Library& library, const FigureEvidence& evidence,
                               const FigureRequest& request, const RunControl& run) {
    if (evidence.devices.size() != 1) return oneDeviceNeeded(evidence);
    auto opposite = request;
    opposite.excludeReferenceFaults = !request.excludeReferenceFaults;
    const auto other = figureEvidence(library, opposite, run);
    if (!other) return other.fault();
    return standingFigure(evidence, other->evidence, request);
}

Result<Scene> overTimeFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    std::vector<DatedDevice> devices;
    for (const auto& device : evidence.devices) {
        auto dated = datedDevice(evidence, request, device);
        if (!dated.sessions.empty()) devices.push_back(std::move(dated));
    }
    if (devices.empty())
        return Fault{FaultCode::NothingToCompare,
                     "no session has a date, so nothing can stand along a calendar",
                     {},
                     {},
                     {}};
    return overTimeScene(
        devices, "mean absolute error, bpm", limitOf(evidence),
        pooledWords(evidence, request,
                    "Mean absolute error of the " + listed(evidence.devices) + " over time",
                    "A mark a session; lines and bands are firmware versions (years, where no version is "
                    "known to differ), pooled, with 95 % intervals over sessions."));
}

Result<Scene> cardFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    if (evidence.devices.size() != 1) return oneDeviceNeeded(evidence);
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
