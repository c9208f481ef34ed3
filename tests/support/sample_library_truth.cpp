#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/support/generator_estimand.h"
#include "tests/support/generator_truth.h"
#include "tests/support/recording_writer_rows.h"
#include "tests/support/sample_library.h"

/// What stands beside the recordings: the manifest that makes a library of them, and what the generator
/// knows.
namespace beatwitness::tests {

namespace {

using Json = nlohmann::ordered_json;

/// Whole seconds.
std::string instant(RecordingTime time) {
    const auto text = instantText(nearestMillisecond(time));
    return text.substr(0, text.size() - 5) + "Z";
}

void putIfSaid(Json& object, const char* key, const std::string& text) {
    if (!text.empty()) object[key] = text;
}

Json wearingJson(const SampleDevice& device, const std::optional<GeneratedPair>& pair) {
    Json wearing{{"role", device.isReference ? "reference" : "test"}, {"device", device.label}};
    if (device.inExport()) {
        const auto span = sampleExportSpan(*pair);
        wearing["file"] = sampleExportFile;
        wearing["span"] = {{"start", instant(span.begin)}, {"end", instant(span.end)}};
    }
    putIfSaid(wearing, "file", device.source.file);
    putIfSaid(wearing, "firmware", device.firmware);
    putIfSaid(wearing, "position", device.position);
    putIfSaid(wearing, "side", device.side);
    putIfSaid(wearing, "tightness", device.tightness);
    putIfSaid(wearing, "mode", device.mode);
    if (!pair) wearing["outcome"] = "failed";
    putIfSaid(wearing, "reason", device.failedBecause);
    return wearing;
}

Json sessionJson(const SampleSession& session, const GeneratedSession& generated) {
    Json wearings = Json::array();
    wearings.push_back(
        {{"role", "reference"}, {"device", "strap"}, {"file", session.strap.file}, {"position", "chest"}});
    for (std::size_t i = 0; i < session.devices.size(); ++i)
        wearings.push_back(wearingJson(session.devices[i], generated.devices[i]));
    Json json{{"name", session.name}, {"activity", session.activity}, {"wearer", "wearer 1"}};
    putIfSaid(json, "note", session.note);
    json["wearings"] = std::move(wearings);
    return json;
}

/// What any reader of the file must find.
void putFacts(Json& json, const recording::Recording& recording, bool undated) {
    const auto& rates = recording.channels.front();
    json["valid_samples"] = rates.times.size();
    const auto of = [&](RecordingTime time) {
        return undated ? Json(nullptr) : Json(instantText(nearestMillisecond(time)));
    };
    json["start"] = of(rates.times.front());
    json["end"] = of(rates.times.back());
}

/// The contract lays a recording without a date on the reference's first sample.
double laidOffset(const GeneratedPair& pair, bool undated, double offset_s) {
    if (!undated) return offset_s;
    const auto first = [](const recording::Recording& recording) {
        return recording.channels.front().times.front().time_since_epoch();
    };
    const auto apart_us = (first(pair.test) - first(pair.reference)).count();
    return offset_s + static_cast<double>(apart_us) * 1e-6;
}

Json alignmentJson(const GeneratedPair& pair, bool undated) {
    auto json = truthAlignmentJson(pair);
    for (const auto* key : {"clock_offset_s", "offset_s"})
        if (!json[key].is_null()) json[key] = thousandths(laidOffset(pair, undated, json[key].get<double>()));
    return json;
}

Json deviceJson(const SampleDevice& device, const std::optional<GeneratedPair>& pair) {
    Json json{{"device", device.label}, {"role", device.isReference ? "reference" : "test"}};
    if (!pair) {
        json["failed_because"] = device.failedBecause;
        return json;
    }
    json["file"] = device.inExport() ? std::string{sampleExportFile} : device.source.file;
    putFacts(json, pair->test, device.source.undated);
    const auto why = whyNotIdentifiable(*pair);
    json["identifiable"] = why.empty();
    if (!why.empty()) json["why_not"] = why;
    json["alignment"] = alignmentJson(*pair, device.source.undated);
    json["faults"] = truthFaultsJson(pair->truth, FaultOn::Test);
    return json;
}

Json truthOf(const SampleSession& session, const GeneratedSession& generated) {
    Json strap{{"file", session.strap.file}};
    putFacts(strap, generated.reference.reference, false);
    strap["faults"] = truthFaultsJson(generated.reference.truth, FaultOn::Reference);
    Json devices = Json::array();
    for (std::size_t i = 0; i < session.devices.size(); ++i)
        devices.push_back(deviceJson(session.devices[i], generated.devices[i]));
    return {{"name", session.name},
            {"activity", session.activity},
            {"reference", std::move(strap)},
            {"phases", truthPhasesJson(generated.reference.truth)},
            {"devices", std::move(devices)}};
}

}  // namespace

std::string sampleManifest(std::span<const SampleSession> sessions,
                           std::span<const GeneratedSession> generated) {
    Json list = Json::array();
    for (std::size_t i = 0; i < sessions.size(); ++i)
        list.push_back(sessionJson(sessions[i], generated[i]));
    return Json{{"schema", "beatwitness.manifest/1"},
                {"project", "Harbour Crew"},
                {"sessions", std::move(list)}}
               .dump(1) +
           "\n";
}

std::string sampleTruth(std::span<const SampleSession> sessions,
                        std::span<const GeneratedSession> generated) {
    Json list = Json::array();
    for (std::size_t i = 0; i < sessions.size(); ++i)
        list.push_back(truthOf(sessions[i], generated[i]));
    return Json{{"schema", "beatwitness.truth/1"}, {"sessions", std::move(list)}}.dump(1) + "\n";
}

}  // namespace beatwitness::tests
