#include "core/report/plan_card_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/foundation/version.h"
#include "core/report/figures/figure_words.h"
#include "core/report/json_values.h"

namespace beatwitness::report {
namespace {

using agreement::Expectation;
using evaluation::PlanCard;
using evaluation::PlanRequirement;

std::string escaped(const std::string& text) {
    std::string out;
    for (const char c : text)
        out += c == '&'   ? std::string{"&amp;"}
               : c == '<' ? std::string{"&lt;"}
               : c == '>' ? std::string{"&gt;"}
               : c == '"' ? std::string{"&quot;"}
                          : std::string{c};
    return out;
}

std::string activityWords(const std::string& activity) {
    return activity.empty() ? "no activity" : activity;
}

std::string dayOf(Micros instant) {
    return isoInstant(instant).substr(0, 10);
}

std::string requirementWords(const PlanRequirement& required) {
    auto words = agreement::criterionWords(required.criterion);
    if (required.criterion.setAt)
        words += fmt::format("; set on {}, {}", dayOf(*required.criterion.setAt),
                             beforeDataWords(required.beforeData));
    if (required.withdrawnAt) words += fmt::format("; withdrawn on {}", dayOf(*required.withdrawnAt));
    return words;
}

std::string countsWords(const PlanCard& card) {
    return fmt::format("{} planned, {} of them still to come; {} recorded",
                       counted(static_cast<double>(card.sessionsPlanned), "session", "sessions"),
                       card.sessionsStillToCome, card.sessionsRecorded);
}

/// Criteria in force for which the expectation makes sense.
std::vector<agreement::Criterion> plannable(const PlanCard& card, const Expectation& expectation) {
    std::vector<agreement::Criterion> criteria;
    for (const auto& required : card.requirements)
        if (!required.withdrawnAt && !wrongWith(required.criterion, expectation))
            criteria.push_back(required.criterion);
    return criteria;
}

Json requirementJson(const PlanRequirement& required) {
    const auto& criterion = required.criterion;
    return {{"metric", agreement::factsOf(criterion.metric).key},
            {"limit", number(criterion.limit)},
            {"sense", agreement::senseName(criterion.sense)},
            {"device", criterion.device.empty() ? Json(nullptr) : Json(criterion.device)},
            {"activity", criterion.activity.empty() ? Json(nullptr) : Json(criterion.activity)},
            {"confidence", number(criterion.confidence)},
            {"set_at", criterion.setAt ? Json(isoInstant(*criterion.setAt)) : Json(nullptr)},
            {"withdrawn_at", required.withdrawnAt ? Json(isoInstant(*required.withdrawnAt)) : Json(nullptr)},
            {"before_data", required.beforeData ? Json(*required.beforeData) : Json(nullptr)}};
}

Json neededJson(const agreement::Criterion& criterion, const Expectation& expectation) {
    const auto needed = agreement::unitsPlanned(criterion, expectation);
    Json json{{"criterion", agreement::criterionWords(criterion)},
              {"expected", number(expectation.value)},
              {"spread", number(expectation.spread)},
              {"sessions_needed", needed ? Json(*needed) : Json(nullptr)},
              {"intervals", Json::array()}};
    for (const auto units : plannedCounts(needed)) {
        const auto planned = agreement::plannedInterval(criterion, expectation, units);
        json["intervals"].push_back(
            {{"sessions", units},
             {"interval", Json::array({number(planned.interval.lower), number(planned.interval.upper)})},
             {"verdict", agreement::verdictName(planned.verdict)}});
    }
    return json;
}

}  // namespace

std::string beforeDataWords(const std::optional<bool>& beforeData) {
    return !beforeData ? "no data yet" : *beforeData ? "before data was there" : "after data was there";
}

std::string planCardText(const PlanCard& card) {
    auto text =
        fmt::format("Plan of {}\n\nQuestion: {}\n\n{}\n", card.project,
                    card.question.empty() ? "none is written down" : card.question, countsWords(card));
    for (const auto& row : card.rows) {
        text += fmt::format("  {}:", activityWords(row.activity));
        for (std::size_t i = 0; i < card.devices.size(); ++i)
            text += fmt::format("{} {} {} planned, {} recorded", i > 0 ? ";" : "", card.devices[i],
                                row.planned[i], row.recorded[i]);
        text += '\n';
    }
    text += card.requirements.empty() ? "\nNo criterion is set.\n" : "\nCriteria:\n";
    for (const auto& required : card.requirements)
        text += fmt::format("  {}\n", requirementWords(required));
    return text +
           fmt::format("\nSHA-256 of question, planned sessions and criteria in force: {}\n", card.digest);
}

std::string planCardHtml(const PlanCard& card) {
    auto html = fmt::format("<h1>Plan of {}</h1><p><b>Question.</b> {}</p><p>{}</p>", escaped(card.project),
                            card.question.empty() ? "None is written down." : escaped(card.question),
                            countsWords(card));
    html += "<table cellpadding=\"4\" border=\"1\" cellspacing=\"0\"><tr><th align=\"left\">Activity</th>";
    for (const auto& device : card.devices)
        html += fmt::format("<th>{}, planned</th><th>recorded</th>", escaped(device));
    html += "</tr>";
    for (const auto& row : card.rows) {
        html += fmt::format("<tr><td>{}</td>", escaped(activityWords(row.activity)));
        for (std::size_t i = 0; i < card.devices.size(); ++i)
            html += fmt::format("<td align=\"right\">{}</td><td align=\"right\">{}</td>", row.planned[i],
                                row.recorded[i]);
        html += "</tr>";
    }
    html += "</table><h2>Criteria</h2>";
    if (card.requirements.empty()) html += "<p>None is set.</p>";
    for (const auto& required : card.requirements)
        html += fmt::format("<p>{}</p>", escaped(requirementWords(required)));
    return html + fmt::format(
                      "<p><small>SHA-256 of question, planned sessions and criteria in force:<br>{}"
                      "</small></p>",
                      card.digest);
}

std::string planCardJson(const PlanCard& card, const std::optional<Expectation>& expectation) {
    Json json{{"schema", "beatwitness.plan/1"},
              {"program", fmt::format("beatwitness {}", programVersion())},
              {"project", card.project},
              {"question", card.question.empty() ? Json(nullptr) : Json(card.question)},
              {"sessions_planned", card.sessionsPlanned},
              {"sessions_to_come", card.sessionsStillToCome},
              {"sessions_recorded", card.sessionsRecorded},
              {"matrix", Json::array()},
              {"criteria", Json::array()},
              {"sha256", card.digest}};
    for (const auto& row : card.rows)
        for (std::size_t i = 0; i < card.devices.size(); ++i)
            json["matrix"].push_back({{"activity", row.activity},
                                      {"device", card.devices[i]},
                                      {"planned", row.planned[i]},
                                      {"recorded", row.recorded[i]}});
    for (const auto& required : card.requirements)
        json["criteria"].push_back(requirementJson(required));
    if (expectation) {
        json["sessions_needed"] = Json::array();
        for (const auto& criterion : plannable(card, *expectation))
            json["sessions_needed"].push_back(neededJson(criterion, *expectation));
    }
    return dumped(json);
}

std::vector<std::size_t> plannedCounts(std::optional<std::size_t> last) {
    const std::size_t end = std::max<std::size_t>(12, last.value_or(30));
    std::vector<std::size_t> counts;
    for (std::size_t units = 2; units < end; units += units < 10 ? 1 : std::max<std::size_t>(1, units / 5))
        counts.push_back(units);
    counts.push_back(end);
    if (last) counts.push_back(end + std::max<std::size_t>(2, end / 3));
    return counts;
}

std::string sessionsNeededText(const PlanCard& card, const Expectation& expectation) {
    std::string text = fmt::format("\nIf {:g} came out, with a spread of {:g} between sessions (assumed):\n",
                                   expectation.value, expectation.spread);
    const auto criteria = plannable(card, expectation);
    if (criteria.empty()) text += "  no criterion in force can be held against that\n";
    for (const auto& criterion : criteria) {
        const auto needed = agreement::unitsPlanned(criterion, expectation);
        text += fmt::format("  {}: {}\n", agreement::criterionWords(criterion),
                            needed ? fmt::format("{} sessions would decide", *needed)
                                   : std::string{"no number of sessions would decide"});
        for (const auto units : plannedCounts(needed)) {
            const auto planned = agreement::plannedInterval(criterion, expectation, units);
            text += fmt::format("    {:4} sessions  {:.2f} to {:.2f}  {}\n", units, planned.interval.lower,
                                planned.interval.upper, agreement::verdictName(planned.verdict));
        }
    }
    return text;
}

}  // namespace beatwitness::report
