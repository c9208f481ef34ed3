#include "core/report/analysis_json.h"

#include "core/agreement/attribution.h"
#include "core/analysis/settings_table.h"
#include "core/foundation/version.h"
#include "core/report/json_values.h"
#include "core/trace/trace.h"

namespace beatwitness::report {
namespace {

Json recordingJson(const recording::RecordingFile& file) {
    const auto summary = trace::summarise(file.recording);
    const bool dated = file.recording.clock != recording::ClockBasis::None && summary.span;
    return {{"file", file.file},
            {"sha256", file.sha256},
            {"format", recording::formatName(file.recording.format)},
            {"samples", summary.samples},
            {"missing", summary.missing},
            {"start", dated ? Json(isoInstant(summary.span->begin.time_since_epoch())) : Json(nullptr)},
            {"duration_s", number(summary.duration)},
            {"median_interval_s", number(summary.medianInterval)},
            {"warnings", file.recording.warnings}};
}

Json contextJson(const analysis::ContextAnalysis& context) {
    const auto& file = context.file;
    Json json = recordingJson(file);
    Json channels = Json::array();
    for (const auto& channel : file.recording.channels)
        channels.push_back(recording::channelName(channel.kind));
    json["channels"] = channels;
    json["aligned_by_heart_rate"] = context.alignedByHeartRate;
    json["offset_s"] = number(context.correction.offset.value);
    return json;
}

Json interval(const std::optional<alignment::Interval>& interval) {
    if (!interval) return nullptr;
    return {interval->lower, interval->upper};
}

Json alignmentJson(const alignment::Alignment& alignment) {
    const auto& correction = alignment.correction;
    return {{"method", alignment::methodName(alignment.method)},
            {"applied", alignment.applied()},
            {"offset_s", correction ? number(correction->offset.value) : Json(nullptr)},
            {"offset_ci95_s", interval(alignment.offsetInterval_s)},
            {"drift_ppm", correction ? number(correction->drift.value) : Json(nullptr)},
            {"drift_ci95_ppm", interval(alignment.driftInterval_ppm)},
            {"confidence", number(alignment.confidence)},
            {"refused_because", alignment.refusedBecause ? Json(*alignment.refusedBecause) : Json(nullptr)}};
}

Json blockJson(const agreement::AgreementBlock& block) {
    return {{"pairs", block.pairs},
            {"coverage_pct", number(block.coverage)},
            {"bias_bpm", number(block.bias)},
            {"sd_bpm", number(block.sd)},
            {"mae_bpm", number(block.mae)},
            {"mape_pct", number(block.mape)},
            {"rmse_bpm", number(block.rmse)},
            {"loa_lower_bpm", number(block.loaLower)},
            {"loa_upper_bpm", number(block.loaUpper)},
            {"pearson_r", number(block.pearsonR)},
            {"ccc", number(block.ccc)},
            {"within_5_bpm_pct", number(block.within5Bpm)},
            {"within_10_bpm_pct", number(block.within10Bpm)},
            {"within_10_pct_pct", number(block.within10Pct)},
            {"half_rate_pct", number(block.halfRate)}};
}

Json flagJson(const flags::Flag& flag) {
    return {{"kind", flags::flagKindName(flag.kind)},
            {"on", flag.on == flags::FlaggedTrace::Test ? "test" : "reference"},
            {"start_s", secondsOf(flag.span.begin)},
            {"end_s", secondsOf(flag.span.end)},
            {"magnitude", number(flag.magnitude)},
            {"unit", flag.unit},
            {"mean_error_bpm", number(flag.meanError)},
            {"confidence", flag.confidence},
            {"excluded", flag.excluded},
            {"because", flag.because}};
}

/// Under the clock that the flags go by.
Json attributionJson(const analysis::TestAnalysis& test) {
    Json rows = Json::array();
    const auto sums = agreement::attributionOf(test.view().pairs, test.flags);
    for (const auto& row : agreement::attributionRows(sums))
        rows.push_back({{"kind", row.kind},
                        {"seconds", row.seconds},
                        {"contribution_bpm", number(row.contribution.value)},
                        {"share_pct", number(row.share.value)}});
    return rows;
}

Json testJson(const analysis::TestAnalysis& test) {
    Json json = recordingJson(test.file);
    json["alignment"] = alignmentJson(test.alignment);
    json["agreement"] = {{"as_recorded", blockJson(test.asRecorded.agreement)},
                         {"aligned", test.aligned ? blockJson(test.aligned->agreement) : Json(nullptr)}};
    Json flags = Json::array();
    for (const auto& flag : test.flags)
        flags.push_back(flagJson(flag));
    json["flags"] = flags;
    json["attribution"] = attributionJson(test);
    return json;
}

Json settingsJson(const analysis::SessionAnalysis& session) {
    Json json = Json::object();
    for (const auto& setting : analysis::settingsTable(session.settings))
        json[std::string{setting.key}] = setting.value;
    json["reference_faults"] = session.request.excludeReferenceFaults ? "exclude" : "keep";
    json["excluded_reference_s"] = session.excludedReferenceSeconds;
    return json;
}

}  // namespace

std::string analysisJson(const analysis::SessionAnalysis& session) {
    Json json = {{"schema", "beatwitness.analysis/1"}, {"program", programVersion()}};
    json["settings"] = settingsJson(session);
    json["reference"] = recordingJson(session.reference);
    json["tests"] = Json::array();
    for (const auto& test : session.tests)
        json["tests"].push_back(testJson(test));
    json["contexts"] = Json::array();
    for (const auto& context : session.contexts)
        json["contexts"].push_back(contextJson(context));
    return dumped(json);
}

}  // namespace beatwitness::report
