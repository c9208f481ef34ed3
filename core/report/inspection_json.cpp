#include "core/report/inspection_json.h"

#include <fmt/format.h>

#include "core/report/json_values.h"
#include "core/trace/trace.h"

namespace beatwitness::report {
namespace {

using recording::ClockBasis;
using recording::Recording;
using recording::RecordingFile;

/// Calendar instants only where the file knows its date.
Json instant(const Recording& recording, RecordingTime time) {
    if (recording.clock == ClockBasis::None) return nullptr;
    return isoInstant(time.time_since_epoch());
}

Json laps(const Recording& recording, const trace::RecordingSummary& summary) {
    Json list = Json::array();
    for (const auto& lap : recording.laps) {
        const RecordingTime zero = summary.span ? summary.span->begin : recording.laps.front().span.begin;
        list.push_back({{"start_s", toSeconds(lap.span.begin - zero).value},
                        {"end_s", toSeconds(lap.span.end - zero).value},
                        {"label", lap.label}});
    }
    return list;
}

Json parts(const Recording& recording, const trace::RecordingSummary& summary) {
    Json list = Json::array();
    for (const auto& part : summary.parts)
        list.push_back({{"start", instant(recording, part.span.begin)},
                        {"end", instant(recording, part.span.end)},
                        {"samples", part.samples}});
    return list;
}

Json channelNames(const Recording& recording) {
    Json list = Json::array();
    for (const auto& channel : recording.channels)
        list.push_back(recording::channelName(channel.kind));
    return list;
}

Json fileJson(const RecordingFile& file) {
    const Recording& recording = file.recording;
    const auto summary = trace::summarise(recording);
    Json guessed = Json::object();
    for (const auto& [what, value] : recording.guessed)
        guessed[what] = value;
    return {{"file", file.file},
            {"sha256", file.sha256},
            {"format", recording::formatName(recording.format)},
            {"device", recording.device.empty() ? Json(nullptr) : Json(recording.device)},
            {"samples", summary.samples},
            {"missing", summary.missing},
            {"start", summary.span ? instant(recording, summary.span->begin) : Json(nullptr)},
            {"end", summary.span ? instant(recording, summary.span->end) : Json(nullptr)},
            {"duration_s", number(summary.duration)},
            {"median_interval_s", number(summary.medianInterval)},
            {"min_bpm", number(summary.lowest)},
            {"mean_bpm", number(summary.mean)},
            {"max_bpm", number(summary.highest)},
            {"channels", channelNames(recording)},
            {"laps", laps(recording, summary)},
            {"guessed", guessed},
            {"artefact_pct", number(recording.artefactShare_pct)},
            {"parts", parts(recording, summary)},
            {"warnings", recording.warnings}};
}

Json faultJson(const Fault& fault) {
    return {{"file", fault.file},
            {"error", {{"code", faultCodeName(fault.code)}, {"message", sentence(fault)}}}};
}

std::string spanText(const Recording& recording, const trace::RecordingSummary& summary) {
    if (!summary.span) return "no valid heart rate";
    const std::string length = sessionClockText(summary.duration->value);
    if (recording.clock == ClockBasis::None) return length + " (no date in the file)";
    return fmt::format("{} to {} ({}){}", isoInstant(summary.span->begin.time_since_epoch()),
                       isoInstant(summary.span->end.time_since_epoch()), length,
                       recording.clock == ClockBasis::ZoneUnknown ? ", zone unknown" : "");
}

}  // namespace

std::string inspectionJson(std::span<const Inspected> files) {
    Json list = Json::array();
    for (const auto& file : files)
        list.push_back(std::holds_alternative<Fault>(file) ? faultJson(std::get<Fault>(file))
                                                           : fileJson(std::get<RecordingFile>(file)));
    return dumped({{"schema", "beatwitness.inspect/1"}, {"files", list}});
}

std::string inspectionText(const RecordingFile& file) {
    const Recording& recording = file.recording;
    const auto summary = trace::summarise(recording);
    std::string text = fmt::format("{}\n", file.file);
    const auto line = [&text](std::string_view label, const std::string& value) {
        text += fmt::format("  {:<12}{}\n", label, value);
    };
    line("format", std::string{recording::formatName(recording.format)});
    if (!recording.device.empty()) line("device", printable(recording.device, 80));
    line("heart rate", fmt::format("{} samples, {} missing", summary.samples, summary.missing));
    line("span", spanText(recording, summary));
    if (summary.medianInterval)
        line("sampling", fmt::format("every {:.3g} s (median)", summary.medianInterval->value));
    if (summary.mean)
        line("rates", fmt::format("{:.1f} to {:.1f} bpm, mean {:.1f}", summary.lowest->value,
                                  summary.highest->value, summary.mean->value));
    std::string names;
    for (const auto& channel : recording.channels)
        names += fmt::format("{}{}", names.empty() ? "" : ", ", recording::channelName(channel.kind));
    line("channels", names.empty() ? "none" : names);
    if (!recording.laps.empty()) line("laps", fmt::format("{}", recording.laps.size()));
    if (summary.parts.size() > 1)
        line("parts", fmt::format("{}, more than 30 min apart", summary.parts.size()));
    for (const auto& [what, value] : recording.guessed)
        line("guessed", fmt::format("{}: {}", what, printable(value, 80)));
    for (const auto& warning : recording.warnings)
        line("warning", warning);
    return text;
}

std::string errorJson(const Fault& fault) {
    return dumped({{"error",
                    {{"code", faultCodeName(fault.code)},
                     {"message", sentence(fault)},
                     {"file", fault.file.empty() ? Json(nullptr) : Json(fault.file)}}}});
}

}  // namespace beatwitness::report
