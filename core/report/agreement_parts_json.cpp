#include "core/report/agreement_parts_json.h"

namespace beatwitness::report {
namespace {

using agreement::Limit;
using agreement::Limits;
using evaluation::DeviceComparison;
using evaluation::GroupLimits;

Json limitJson(const Limit& limit) {
    return {{"value", number(limit.value)}, {"ci95", intervalJson(limit.ci95)}};
}

Json formJson(const Limits& limits) {
    return {{"lower_bpm", limitJson(limits.lower)}, {"upper_bpm", limitJson(limits.upper)}};
}

Json maybeForm(const std::optional<Limits>& limits) {
    return limits ? formJson(*limits) : Json(nullptr);
}

Json repeatedJson(const GroupLimits& limits) {
    if (!limits.repeatedPairs) return nullptr;
    const auto& c = *limits.components;
    Json json = formJson(*limits.repeatedPairs);
    json["between_mean_square"] = number(c.betweenMeanSquare);
    json["within_mean_square"] = number(c.withinMeanSquare);
    json["m0"] = number(c.sizeForBetween);
    json["between_variance"] = number(c.between);
    json["total_sd_bpm"] = number(c.total);
    return json;
}

Json moverJson(const GroupLimits& limits) {
    if (!limits.mover) return nullptr;
    const auto& m = *limits.mover;
    Json json = formJson(m.limits);
    json["mean_bpm"] = number(m.mean);
    json["mean_ci95"] = intervalJson(m.meanCi95);
    json["variance_of_means"] = number(m.meansVariance);
    json["m_harmonic"] = number(m.harmonicSize);
    json["sd_bpm"] = number(m.sd);
    json["variance_ci95"] = intervalJson(m.variance);
    json["within_df"] = number(m.withinDf);
    json["method"] =
        "t over sessions; degrees of freedom within sessions from independent readings, not from seconds";
    return json;
}

Json bootstrapJson(const GroupLimits& limits) {
    if (!limits.bootstrap) return nullptr;
    Json json = formJson(limits.bootstrap->limits);
    json["seed"] = limits.bootstrap->settings.seed;
    json["replicates"] = limits.bootstrap->exact ? Json("all") : Json(limits.bootstrap->settings.replicates);
    json["method"] = "resampled sessions, expanded percentile";
    return json;
}

Json magnitudeJson(const GroupLimits& limits, evaluation::Against against) {
    if (!limits.byMagnitude) return nullptr;
    const auto& m = *limits.byMagnitude;
    Json json = {{"against", against == evaluation::Against::Mean ? "mean" : "reference"},
                 {"b0", number(m.b0.value)},
                 {"b1", number(m.b1.value)},
                 {"c0", number(m.c0.value)},
                 {"c1", number(m.c1.value)},
                 {"residual_sd_bpm", number(m.residualSd)},
                 {"lowest_bpm", number(m.lowest)},
                 {"highest_bpm", number(m.highest)}};
    for (const auto& [name, coefficient] :
         {std::pair{"b0", &m.b0}, std::pair{"b1", &m.b1}, std::pair{"c0", &m.c0}, std::pair{"c1", &m.c1}}) {
        json[std::string{name} + "_se"] = number(coefficient->standardError);
        json[std::string{name} + "_ci95"] = intervalJson(coefficient->ci95);
        json[std::string{name} + "_p"] = number(coefficient->p);
    }
    return json;
}

Json differenceJson(const evaluation::MetricDifference& metric) {
    return {{"a", number(metric.a)},
            {"b", number(metric.b)},
            {"difference", number(metric.difference)},
            {"ci95", intervalJson(metric.ci95)},
            {"method", metric.method},
            {"p", number(metric.p)},
            {"sign_flip_p", number(metric.signFlipP)},
            {"p_holm", number(metric.holmP)},
            {"equivalence", equivalenceJson(metric.equivalence)}};
}

Json ownJson(const evaluation::OwnFigures& own) {
    return {{"sessions", own.sessions},
            {"pairs", own.pairs},
            {"coverage_pct", number(own.coverage_pct)},
            {"mae_bpm", number(own.mae_bpm)},
            {"bias_bpm", number(own.bias_bpm)}};
}

Json spreadJson(const std::optional<agreement::SpreadComparison>& spread) {
    if (!spread) return nullptr;
    return {{"variance_ratio", number(spread->varianceRatio)},
            {"r", number(spread->r)},
            {"t", number(spread->t)},
            {"df", number(spread->df)},
            {"p", number(spread->p)}};
}

/// What differs between clocks.
void addClock(Json& json, const DeviceComparison& comparison) {
    for (const auto& metric : comparison.metrics)
        json[std::string{metric.key}] = differenceJson(metric);
    json["session_bias_spread"] = spreadJson(comparison.spread);
    json["own_a"] = ownJson(comparison.ownA);
    json["own_b"] = ownJson(comparison.ownB);
}

Json comparisonJson(const DeviceComparison& comparison) {
    return {{"a", comparison.a},
            {"b", comparison.b},
            {"activity", comparison.allActivities ? Json(nullptr) : Json(comparison.activity)},
            {"activities", !comparison.allActivities ? Json("one")
                           : comparison.bySession    ? Json("all, each session with equal weight")
                                                     : Json("all, each with equal weight")},
            {"clock", evaluation::clockName(comparison.clock)},
            {"sessions", comparison.sessions},
            {"sessions_a", comparison.sessionsA},
            {"sessions_b", comparison.sessionsB},
            {"paired", comparison.paired},
            {"shared_pairs", comparison.paired ? number(comparison.seconds) : Json(nullptr)},
            {"warning", comparison.warning.empty() ? Json(nullptr) : Json(comparison.warning)}};
}

Json robustRowJson(const evaluation::RobustnessRow& row) {
    return {{"clock", evaluation::clockName(row.clock)},
            {"epoch_s", row.epoch_s},
            {"reference_faults", row.excludeReferenceFaults ? "exclude" : "keep"},
            {"without", row.without.empty() ? Json(nullptr) : Json(row.without)},
            {"chosen", row.chosen},
            {"value", number(row.figure.value)},
            {"ci95", intervalJson(row.figure.ci95)},
            {"method", row.figure.method},
            {"verdict", row.verdict ? Json(agreement::verdictName(*row.verdict)) : Json(nullptr)}};
}

}  // namespace

Json intervalJson(const std::optional<agreement::Interval>& interval) {
    if (!interval) return nullptr;
    return Json::array({number(interval->lower), number(interval->upper)});
}

Json labelsJson(const std::vector<std::pair<evaluation::GroupKey, std::string>>& by) {
    Json json = Json::object();
    for (const auto& [key, label] : by)
        json[std::string{evaluation::groupKeyName(key)}] = label;
    return json;
}

Json figuresJson(const agreement::PooledFigures& figures) {
    Json json = Json::object();
    for (const auto& facts : agreement::metrics()) {
        const auto& figure = figures.of(facts.metric);
        json[std::string{facts.key}] = {
            {"value", number(figure.value)}, {"ci95", intervalJson(figure.ci95)}, {"method", figure.method}};
    }
    return json;
}

Json limitsJson(const GroupLimits& limits, evaluation::Against against) {
    return {{"shown", limits.shown.empty() ? Json(nullptr) : Json(limits.shown)},
            {"because", limits.because.empty() ? "there are fewer than two pairs" : limits.because},
            {"degenerate", limits.degenerate},
            {"excess_kurtosis", number(limits.excessKurtosis)},
            {"simple", maybeForm(limits.simple)},
            {"repeated_pairs", repeatedJson(limits)},
            {"repeated_pairs_mover", moverJson(limits)},
            {"exact", maybeForm(limits.exact)},
            {"bootstrap", bootstrapJson(limits)},
            {"percentiles", maybeForm(limits.percentiles)},
            {"by_magnitude", magnitudeJson(limits, against)}};
}

Json attributionJson(const std::vector<agreement::AttributionRow>& rows) {
    Json json = Json::array();
    for (const auto& row : rows)
        json.push_back({{"kind", row.kind},
                        {"seconds", number(row.seconds)},
                        {"contribution_bpm", number(row.contribution.value)},
                        {"share_pct", number(row.share.value)}});
    return json;
}

Json criteriaJson(const std::vector<agreement::CriterionResult>& results) {
    Json json = Json::array();
    for (const auto& result : results) {
        const auto& criterion = result.criterion;
        json.push_back({{"metric", agreement::factsOf(criterion.metric).key},
                        {"limit", number(criterion.limit)},
                        {"sense", agreement::senseName(criterion.sense)},
                        {"device", criterion.device.empty() ? Json(nullptr) : Json(criterion.device)},
                        {"activity", criterion.activity.empty() ? Json(nullptr) : Json(criterion.activity)},
                        {"confidence", number(criterion.confidence)},
                        {"set_at", criterion.setAt ? Json(isoInstant(*criterion.setAt)) : Json(nullptr)},
                        {"before_data", result.beforeData ? Json(*result.beforeData) : Json(nullptr)},
                        {"verdict", agreement::verdictName(result.verdict)},
                        {"sessions_needed", result.unitsNeeded ? Json(*result.unitsNeeded) : Json(nullptr)},
                        {"unit", result.unit},
                        {"value", number(result.figure.value)},
                        {"interval", intervalJson(result.figure.ci95)},
                        {"because", result.because}});
    }
    return json;
}

Json equivalenceJson(const std::optional<agreement::Equivalence>& equivalence) {
    if (!equivalence) return nullptr;
    return {{"margin_bpm", number(equivalence->margin)},
            {"mean_bpm", number(equivalence->mean)},
            {"ci90", intervalJson(equivalence->ci90)},
            {"p", number(equivalence->p())},
            {"equivalent", equivalence->equivalent},
            {"note", "of the mean alone: single errors can be far larger"}};
}

Json comparisonsJson(const std::vector<DeviceComparison>& comparisons) {
    Json json = Json::array();
    for (const auto& comparison : comparisons) {
        if (comparison.clock == evaluation::Clock::AsRecorded && !json.empty()) {
            Json& as = json.back()["as_recorded"] = comparisonJson(comparison);
            addClock(as, comparison);
            continue;
        }
        json.push_back(comparisonJson(comparison));
        addClock(json.back(), comparison);
    }
    return json;
}

Json robustnessJson(const std::vector<evaluation::Robustness>& results) {
    Json json = Json::array();
    for (const auto& result : results) {
        Json rows = Json::array();
        for (const auto& row : result.rows)
            rows.push_back(robustRowJson(row));
        json.push_back({{"by", labelsJson(result.by)},
                        {"metric", agreement::factsOf(result.metric).key},
                        {"lowest", number(result.lowest)},
                        {"highest", number(result.highest)},
                        {"one_verdict", result.oneVerdict ? Json(*result.oneVerdict) : Json(nullptr)},
                        {"rows", rows}});
    }
    return json;
}

}  // namespace beatwitness::report
