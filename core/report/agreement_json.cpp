#include "core/report/agreement_json.h"

#include <fmt/format.h>

#include "core/analysis/settings_table.h"
#include "core/foundation/version.h"
#include "core/report/cautions.h"
#include "core/report/json_values.h"

namespace beatwitness::report {
namespace {

using agreement::PooledFigure;
using agreement::PooledFigures;
using evaluation::AgreementGroup;

Json figuresJson(const PooledFigures& figures) {
    Json json = Json::object();
    for (const auto& facts : agreement::metrics()) {
        const auto& figure = figures.of(facts.metric);
        json[std::string{facts.key}] = {
            {"value", number(figure.value)},
            {"ci95", figure.ci95 ? Json{figure.ci95->lower, figure.ci95->upper} : Json(nullptr)},
            {"method", figure.method}};
    }
    return json;
}

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

Json groupJson(const AgreementGroup& group) {
    Json by = Json::object();
    for (const auto& [key, label] : group.by)
        by[std::string{evaluation::groupKeyName(key)}] = label;
    return {{"by", by},
            {"clock", evaluation::clockName(group.clock)},
            {"sessions", group.sessions},
            {"sessions_refused", group.sessionsRefused},
            {"late_start_s", group.lateStartSeconds},
            {"early_stop_s", group.earlyStopSeconds},
            {"own_span_coverage_pct", number(group.ownSpanCoverage)},
            {"flags_by_hand", group.flagsByHand},
            {"wearers", group.wearers},
            {"pairs", group.pairs},
            {"coverage_pct", number(group.coverage)},
            {"independent_s", group.independentSeconds},
            {"excluded_reference_s", group.excludedReferenceSeconds},
            {"time_weighted", figuresJson(group.timeWeighted)},
            {"session_weighted", figuresJson(group.sessionWeighted)},
            {"by_wearer", wearersJson(group.byWearer)}};
}

std::string quoted(const std::string& text) {
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string out = "\"";
    for (const char c : text)
        out += c == '"' ? std::string{"\"\""} : std::string{c};
    return out + "\"";
}

std::string csvNumber(const std::optional<double>& value) {
    return value ? fmt::format("{}", *value) : "";
}

std::string csvRow(const AgreementGroup& group, std::string_view weighting, const PooledFigures& figures) {
    std::string row;
    for (const auto& [key, label] : group.by)
        row += quoted(label) + ",";
    row += fmt::format("{},{},{},{},{},{},{}", evaluation::clockName(group.clock), weighting, group.sessions,
                       group.sessionsRefused, group.wearers, group.pairs,
                       csvNumber(group.coverage ? std::optional{group.coverage->value} : std::nullopt));
    for (const auto& facts : agreement::metrics()) {
        const auto& figure = figures.of(facts.metric);
        row += fmt::format(",{},{},{}", csvNumber(figure.value),
                           csvNumber(figure.ci95 ? std::optional{figure.ci95->lower} : std::nullopt),
                           csvNumber(figure.ci95 ? std::optional{figure.ci95->upper} : std::nullopt));
    }
    return row + "\r\n";
}

std::string withInterval(const PooledFigure& figure, int digits) {
    if (!figure.value) return "-";
    std::string text = fmt::format("{:.{}f}", *figure.value, digits);
    if (figure.ci95)
        text += fmt::format(" ({:.{}f} to {:.{}f})", figure.ci95->lower, digits, figure.ci95->upper, digits);
    return text;
}

std::string groupText(const AgreementGroup& group) {
    std::string title;
    for (const auto& [key, label] : group.by)
        title += fmt::format("{}{} {}", title.empty() ? "" : ", ", evaluation::groupKeyName(key),
                             label.empty() ? "(none)" : label);
    const auto& figures = group.timeWeighted;
    std::string text = fmt::format("\n{} · {}\n", title.empty() ? "all" : title,
                                   group.clock == evaluation::Clock::Aligned ? "aligned" : "as recorded");
    text += fmt::format("  {} sessions ({} alignments refused), {} seconds paired", group.sessions,
                        group.sessionsRefused, group.pairs);
    if (group.coverage) text += fmt::format(", coverage {:.1f} %", group.coverage->value);
    text += fmt::format("\n  bias {} bpm · MAE {} bpm · MAPE {} %\n", withInterval(figures.bias, 2),
                        withInterval(figures.mae, 2), withInterval(figures.mape, 2));
    text += fmt::format("  within 5 bpm {} % · half-rate {} %\n", withInterval(figures.within5Bpm, 1),
                        withInterval(figures.halfRate, 1));
    return text;
}

}  // namespace

std::string agreementJson(const evaluation::ProjectAgreement& answer, const evaluation::Question& question,
                          const std::string& library) {
    Json settings = Json::object();
    for (const auto& setting : analysis::settingsTable({}))
        settings[std::string{setting.key}] = setting.value;
    settings["reference_faults"] = question.excludeReferenceFaults ? "exclude" : "keep";
    Json groups = Json::array();
    for (const auto& group : answer.groups)
        groups.push_back(groupJson(group));
    return dumped({{"schema", "beatwitness.agreement/1"},
                   {"program", programVersion()},
                   {"library", library},
                   {"project", question.project},
                   {"settings", settings},
                   {"epoch_s", question.epoch_s},
                   {"failed_attempts", answer.failedAttempts},
                   {"groups", groups},
                   {"comparisons", Json::array()}});
}

std::string agreementCsv(const evaluation::ProjectAgreement& answer) {
    std::string text;
    if (!answer.groups.empty())
        for (const auto& [key, label] : answer.groups.front().by)
            text += fmt::format("{},", evaluation::groupKeyName(key));
    text += "clock,weighting,sessions,sessions_refused,wearers,pairs,coverage_pct";
    for (const auto& facts : agreement::metrics())
        text += fmt::format(",{0},{0}_ci95_lower,{0}_ci95_upper", facts.key);
    text += "\r\n";
    for (const auto& group : answer.groups) {
        text += csvRow(group, "time", group.timeWeighted);
        text += csvRow(group, "session", group.sessionWeighted);
    }
    return text;
}

std::string agreementText(const evaluation::ProjectAgreement& answer) {
    std::string text = fmt::format("{} sessions, {} attempts without a recording\n", answer.sessionsAsked,
                                   answer.failedAttempts);
    for (const auto& group : answer.groups)
        text += groupText(group);
    return text +
           fmt::format("\nError is test minus reference; intervals are 95 % and respect sessions. {}\n",
                       cautionLine());
}

}  // namespace beatwitness::report
