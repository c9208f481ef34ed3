#include <fmt/format.h>

#include "core/report/agreement_json.h"
#include "core/report/agreement_summary.h"
#include "core/report/cautions.h"
#include "core/report/csv.h"

namespace beatwitness::report {
namespace {

using agreement::PooledFigure;
using agreement::PooledFigures;
using evaluation::AgreementGroup;

std::string csvNumber(const std::optional<double>& value) {
    return value ? fmt::format("{}", *value) : "";
}

std::string csvPercent(const std::optional<Percent>& value) {
    return value ? fmt::format("{}", value->value) : "";
}

std::string csvInterval(const std::optional<agreement::Interval>& interval) {
    return interval ? fmt::format("{},{}", interval->lower, interval->upper) : ",";
}

std::string csvLimits(const AgreementGroup& group) {
    const auto* limits = group.limits.chosen();
    if (limits == nullptr) return ",,,,,,,";
    return fmt::format(",{},{},{},{},{}", group.limits.shown, limits->lower.value,
                       csvInterval(limits->lower.ci95), limits->upper.value, csvInterval(limits->upper.ci95));
}

std::string csvRow(const AgreementGroup& group, std::string_view weighting, const PooledFigures& figures) {
    std::string row;
    for (const auto& [key, label] : group.by)
        row += csvCell(label) + ",";
    row += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{}", evaluation::clockName(group.clock), weighting,
                       group.sessions, group.sessionsRefused, group.wearers, group.pairs,
                       csvPercent(group.coverage), csvPercent(group.ownSpanCoverage), group.lateStartSeconds,
                       group.earlyStopSeconds, group.independentSeconds, group.excludedReferenceSeconds);
    for (const auto& facts : agreement::metrics()) {
        const auto& figure = figures.of(facts.metric);
        row += fmt::format(",{},{}", csvNumber(figure.value), csvInterval(figure.ci95));
    }
    return row + csvLimits(group) + "\r\n";
}

std::string withInterval(const PooledFigure& figure, int digits) {
    if (!figure.value) return "-";
    std::string text = fmt::format("{:.{}f}", *figure.value, digits);
    if (figure.ci95)
        text += fmt::format(" ({:.{}f} to {:.{}f})", figure.ci95->lower, digits, figure.ci95->upper, digits);
    return text;
}

std::string limitText(const agreement::Limit& limit) {
    auto text = fmt::format("{:.1f}", limit.value);
    if (limit.ci95) text += fmt::format(" ({:.1f} to {:.1f})", limit.ci95->lower, limit.ci95->upper);
    return text;
}

std::string groupTitle(const AgreementGroup& group) {
    std::string title;
    for (const auto& [key, label] : group.by)
        title += fmt::format("{}{} {}", title.empty() ? "" : ", ", evaluation::groupKeyName(key),
                             label.empty() ? "(none)" : label);
    return title.empty() ? "all" : title;
}

std::string groupText(const AgreementGroup& group) {
    const auto& figures = group.timeWeighted;
    std::string text = fmt::format("\n{} · {}\n", groupTitle(group),
                                   group.clock == evaluation::Clock::Aligned ? "aligned" : "as recorded");
    text += fmt::format("  {} sessions ({} alignments refused), {} paired, worth {:.0f} independent seconds",
                        group.sessions, group.sessionsRefused, group.pairs, group.independentSeconds);
    if (group.coverage) text += fmt::format(", coverage {:.1f} %", group.coverage->value);
    text += fmt::format("\n  bias {} bpm · MAE {} bpm · MAPE {} %\n", withInterval(figures.bias, 2),
                        withInterval(figures.mae, 2), withInterval(figures.mape, 2));
    text += fmt::format("  within 5 bpm {} % · half-rate {} %\n", withInterval(figures.within5Bpm, 1),
                        withInterval(figures.halfRate, 1));
    if (const auto* limits = group.limits.chosen())
        text += fmt::format("  limits of agreement {} to {} bpm\n", limitText(limits->lower),
                            limitText(limits->upper));
    for (const auto& sentence : agreementSummary(group))
        text += fmt::format("  {}\n", sentence);
    return text;
}

std::string comparisonText(const evaluation::DeviceComparison& comparison) {
    auto text = fmt::format("\n{} minus {} · {} · {}\n", comparison.a, comparison.b,
                            !comparison.allActivities ? comparison.activity
                            : comparison.bySession    ? "all sessions"
                                                      : "all activities, equal weights",
                            comparison.clock == evaluation::Clock::Aligned ? "aligned" : "as recorded");
    text += fmt::format("  {} {} session{}{}\n", comparison.sessions,
                        comparison.paired ? "shared" : "different", comparison.sessions == 1 ? "" : "s",
                        comparison.warning.empty() ? "" : " (" + comparison.warning + ")");
    for (const auto& metric : comparison.metrics)
        if (metric.key == "mae_bpm")
            text += fmt::format("  MAE {} bpm; {}\n", withInterval({metric.difference, metric.ci95, {}}, 2),
                                metric.method);
    return text;
}

std::string editionText(const EditionReport& edition) {
    auto text = fmt::format("\nSince edition \"{}\": {} numbers changed, {} did not\n", edition.then.label,
                            edition.changes.changes.size(), edition.changes.unchanged);
    for (const auto& sentence : edition.changes.because)
        text += fmt::format("  {}\n", sentence);
    const auto shown = [](const std::optional<double>& value) {
        return value ? fmt::format("{:.6g}", *value) : std::string{"-"};
    };
    for (const auto& change : edition.changes.changes)
        text += fmt::format("  {}: {} -> {}\n", change.key, shown(change.then), shown(change.now));
    return text;
}

}  // namespace

std::string agreementCsv(const evaluation::ProjectAgreement& answer) {
    std::string text;
    if (!answer.groups.empty())
        for (const auto& [key, label] : answer.groups.front().by)
            text += fmt::format("{},", evaluation::groupKeyName(key));
    text +=
        "clock,weighting,sessions,sessions_refused,wearers,pairs,coverage_pct,own_span_coverage_pct,"
        "late_start_s,early_stop_s,independent_s,excluded_reference_s";
    for (const auto& facts : agreement::metrics())
        text += fmt::format(",{0},{0}_ci95_lower,{0}_ci95_upper", facts.key);
    text +=
        ",limits_shown,loa_lower_bpm,loa_lower_ci95_lower,loa_lower_ci95_upper,loa_upper_bpm,"
        "loa_upper_ci95_lower,loa_upper_ci95_upper\r\n";
    for (const auto& group : answer.groups) {
        text += csvRow(group, "time", group.timeWeighted);
        text += csvRow(group, "session", group.sessionWeighted);
    }
    return text;
}

std::string agreementText(const AgreementReport& report) {
    const auto& answer = report.answer;
    std::string text = fmt::format("{} sessions, {} attempts without a recording\n", answer.sessionsAsked,
                                   answer.failedAttempts);
    for (const auto& group : answer.groups)
        text += groupText(group);
    for (const auto& comparison : answer.comparisons)
        text += comparisonText(comparison);
    for (const auto& floor : answer.referenceFloor)
        text += "\nA second reference against the first, the floor under every device:" + groupText(floor);
    if (report.edition) text += editionText(*report.edition);
    return text +
           fmt::format("\nError is test minus reference; intervals are 95 % and respect sessions. {}\n",
                       projectCautionLine());
}

}  // namespace beatwitness::report
