#include "core/report/agreement_json.h"

#include "core/analysis/settings_table.h"
#include "core/foundation/version.h"
#include "core/report/agreement_parts_json.h"
#include "core/report/agreement_summary.h"

namespace beatwitness::report {
namespace {

using evaluation::AgreementGroup;
using evaluation::Question;

Json wearersJson(const std::vector<evaluation::WearerFigures>& wearers) {
    Json json = Json::array();
    for (const auto& wearer : wearers)
        json.push_back({{"wearer", wearer.wearer},
                        {"sessions", wearer.sessions},
                        {"pairs", wearer.pairs},
                        {"time_weighted", figuresJson(wearer.timeWeighted)},
                        {"session_weighted", figuresJson(wearer.sessionWeighted)}});
    return json;
}

Json groupJson(const AgreementGroup& group, const Question& question) {
    return {{"by", labelsJson(group.by)},
            {"clock", evaluation::clockName(group.clock)},
            {"summary", agreementSummary(group)},
            {"sessions", group.sessions},
            {"sessions_refused", group.sessionsRefused},
            {"late_start_s", group.lateStartSeconds},
            {"early_stop_s", group.earlyStopSeconds},
            {"own_span_coverage_pct", number(group.ownSpanCoverage)},
            {"flags_by_hand", group.flagsByHand},
            {"wearers", group.wearers},
            {"pairs", group.pairs},
            {"coverage_pct", number(group.coverage)},
            {"independent_s", number(group.independentSeconds)},
            {"excluded_reference_s", group.excludedReferenceSeconds},
            {"time_weighted", figuresJson(group.timeWeighted)},
            {"session_weighted", figuresJson(group.sessionWeighted)},
            {"by_wearer", wearersJson(group.byWearer)},
            {"limits", limitsJson(group.limits, question.against)},
            {"attribution", attributionJson(group.attribution)},
            {"criteria", criteriaJson(group.criteria)},
            {"equivalence", equivalenceJson(group.equivalence)}};
}

Json groupsJson(const std::vector<AgreementGroup>& groups, const Question& question) {
    Json json = Json::array();
    for (const auto& group : groups)
        json.push_back(groupJson(group, question));
    return json;
}

Json settingsJson(const Question& question, const analysis::Settings& thresholds) {
    Json settings = Json::object();
    Json changed = Json::array();
    for (const auto& setting : analysis::settingsTable(thresholds)) {
        settings[std::string{setting.key}] = setting.value;
        if (setting.value != setting.standard) changed.push_back(setting.key);
    }
    settings["thresholds_changed"] = changed;
    settings["reference_faults"] = question.excludeReferenceFaults ? "exclude" : "keep";
    settings["against"] = question.against == evaluation::Against::Mean ? "mean" : "reference";
    settings["phases"] = question.phases;
    settings["bootstrap_replicates"] = question.bootstrap.replicates;
    settings["bootstrap_seed"] = question.bootstrap.seed;
    return settings;
}

/// What reviewers did by hand, by session and device: only where they did something.
Json reviewsJson(const std::vector<evaluation::SessionEvidence>& evidence) {
    Json reviews = Json::array();
    for (const auto& one : evidence)
        if (one.flagsByHand + one.referenceFlagsByHand + one.unmatchedDecisions > 0 || one.reviewerKappa)
            reviews.push_back({{"session", one.sessionName},
                               {"device", one.device},
                               {"flags_by_hand", one.flagsByHand},
                               {"reference_flags_by_hand", one.referenceFlagsByHand},
                               {"unmatched_decisions", one.unmatchedDecisions},
                               {"reviewer_kappa", number(one.reviewerKappa)}});
    return reviews;
}

Json textsJson(const std::vector<std::string>& texts) {
    Json json = Json::array();
    for (const auto& text : texts)
        json.push_back(text);
    return json;
}

Json editionJson(const library::Edition& then, const evaluation::EditionChanges& changes) {
    Json list = Json::array();
    for (const auto& change : changes.changes)
        list.push_back({{"number", change.key},
                        {"then", number(change.then)},
                        {"now", number(change.now)},
                        {"change", !change.wasThere  ? "came"
                                   : !change.isThere ? "went"
                                                     : "changed"}});
    return {{"label", then.label},     {"frozen_at", isoInstant(then.frozenAt)},
            {"program", then.program}, {"unchanged", changes.unchanged},
            {"changes", list},         {"because", textsJson(changes.because)}};
}

}  // namespace

std::string agreementJson(const AgreementReport& report) {
    const auto& [answer, question, library, robust, edition] = report;
    Json json = {{"schema", "beatwitness.agreement/1"},
                 {"program", programVersion()},
                 {"library", library},
                 {"project", question.project},
                 {"settings", settingsJson(question, answer.settings)},
                 {"epoch_s", question.epoch_s},
                 {"sessions_asked", answer.sessionsAsked},
                 {"failed_attempts", answer.failedAttempts},
                 {"reviews", reviewsJson(answer.evidence)},
                 {"groups", groupsJson(answer.groups, question)},
                 {"comparisons", comparisonsJson(answer.comparisons)},
                 {"reference_floor", groupsJson(answer.referenceFloor, question)}};
    if (question.robustness) json["robustness"] = robustnessJson(robust);
    if (edition) json["edition"] = editionJson(edition->then, edition->changes);
    return dumped(json);
}

}  // namespace beatwitness::report
