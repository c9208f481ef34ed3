// A project's numbers as tables for other programs.
#include <fmt/format.h>

#include "core/foundation/text.h"
#include "core/report/agreement_json.h"
#include "core/report/csv.h"
#include "core/report/examples.h"
#include "core/report/share/share.h"

namespace beatwitness::report {
namespace {

using evaluation::Clock;
using evaluation::GroupKey;

std::string cell(const std::optional<double>& value) {
    return value ? fmt::format("{}", *value) : std::string{};
}

template <class Unit>
std::string cellOf(const std::optional<Unit>& value) {
    return value ? fmt::format("{}", value->value) : std::string{};
}

std::string startCell(const std::optional<Micros>& start) {
    return start ? isoInstant(*start) : std::string{};
}

std::string groupedCsv(const Study& study, std::vector<GroupKey> keys) {
    auto question = study.question;
    question.by = std::move(keys);
    evaluation::ProjectAgreement answer;
    answer.groups = evaluation::pooledGroups(study.answer.evidence, question);
    return agreementCsv(answer);
}

std::string sessionsCsv(const Study& study) {
    auto csv = csvLine({"session",
                        "start",
                        "activity",
                        "wearer",
                        "device",
                        "role",
                        "unit",
                        "firmware",
                        "position",
                        "side",
                        "outcome",
                        "reason",
                        "offset_s",
                        "offset_ci95_lower_s",
                        "offset_ci95_upper_s",
                        "drift_ppm",
                        "refused_because",
                        "excluded_reference_s",
                        "pairs_aligned",
                        "mae_aligned_bpm",
                        "mae_as_recorded_bpm"});
    for (const auto& session : study.sessions)
        for (const auto& wearing : session.row.wearings) {
            const DeviceFinding* found = nullptr;
            for (const auto& device : session.devices)
                if (wearing.role == library::Role::Test && device.device == wearing.deviceLabel)
                    found = &device;
            std::vector<std::string> row{session.row.name,
                                         startCell(session.row.start),
                                         session.row.activity,
                                         session.row.wearer,
                                         wearing.deviceLabel,
                                         wearing.role == library::Role::Reference ? "reference"
                                         : wearing.role == library::Role::Test    ? "test"
                                                                                  : "context",
                                         wearing.facts.unit,
                                         wearing.facts.firmware,
                                         wearing.facts.position,
                                         wearing.facts.side,
                                         wearing.recordings.empty() ? "failed" : "recorded",
                                         wearing.reason};
            if (found == nullptr) {
                row.insert(row.end(), 9, {});
            } else {
                const auto& alignment = found->alignment;
                const auto& interval = alignment.offsetInterval_s;
                row.push_back(alignment.correction ? fmt::format("{}", alignment.correction->offset.value)
                                                   : "");
                row.push_back(interval ? fmt::format("{}", interval->lower) : "");
                row.push_back(interval ? fmt::format("{}", interval->upper) : "");
                row.push_back(alignment.correction ? fmt::format("{}", alignment.correction->drift.value)
                                                   : "");
                row.push_back(alignment.refusedBecause.value_or(""));
                row.push_back(fmt::format("{}", session.excluded_s));
                row.push_back(found->aligned ? std::to_string(found->aligned->pairs) : "");
                row.push_back(found->aligned ? cellOf(found->aligned->mae) : "");
                row.push_back(cellOf(found->asRecorded.mae));
            }
            csv += csvLine(row);
        }
    return csv;
}

void addFlags(std::string& csv, const StudySession& session, const std::string& device,
              const std::vector<flags::Flag>& flags) {
    for (const auto& flag : flags)
        csv += csvLine({session.row.name, startCell(session.row.start), session.row.activity, device,
                        std::string{flags::flagKindName(flag.kind)},
                        flag.on == flags::FlaggedTrace::Reference ? "reference" : "test",
                        fmt::format("{}", secondsOf(flag.span.begin)),
                        fmt::format("{}", secondsOf(flag.span.end)), fmt::format("{}", flag.magnitude),
                        std::string{flag.unit}, cellOf(flag.meanError), fmt::format("{}", flag.confidence),
                        flag.excluded ? "yes" : "no", flag.byHand ? "yes" : "no", flag.because});
}

std::string flagsCsv(const Study& study) {
    auto csv =
        csvLine({"session", "start", "activity", "device", "kind", "on", "begin_s", "end_s", "magnitude",
                 "unit", "mean_error_bpm", "confidence", "excluded", "by_hand", "because"});
    for (const auto& session : study.sessions) {
        const auto* reference = session.row.reference();
        addFlags(csv, session, reference == nullptr ? "" : reference->deviceLabel, session.referenceFlags);
        for (const auto& device : session.devices)
            addFlags(csv, session, device.device, device.flags);
    }
    return csv;
}

/// Phases and pins: instants as the reference's clock reads them, and seconds of session time.
std::string marksCsv(const Study& study) {
    auto csv = csvLine({"session", "start", "activity", "what", "label", "kind", "origin", "level", "begin_s",
                        "end_s", "begin", "end"});
    for (const auto& session : study.sessions) {
        const auto seconds = [&](ReferenceTime time) {
            return session.t0 ? fmt::format("{}", toSeconds(time - *session.t0).value) : std::string{};
        };
        const auto instant = [](ReferenceTime time) { return isoInstant(time.time_since_epoch()); };
        const auto& row = session.row;
        for (const auto& phase : session.phases)
            csv += csvLine({row.name, startCell(row.start), row.activity, "phase", trace::phaseLabel(phase),
                            std::string{trace::phaseKindName(phase.kind)},
                            std::string{trace::phaseOriginName(phase.origin)}, std::to_string(phase.level),
                            seconds(phase.span.begin), seconds(phase.span.end), instant(phase.span.begin),
                            instant(phase.span.end)});
        for (const auto& pin : session.pins)
            csv += csvLine({row.name, startCell(row.start), row.activity, "pin", pin.note, "", "", "",
                            seconds(pin.at), "", instant(pin.at), ""});
    }
    return csv;
}

std::string comparisonsCsv(const Study& study) {
    auto csv = csvLine({"a", "b", "activity", "clock", "metric", "sessions", "paired", "a_value", "b_value",
                        "difference", "ci95_lower", "ci95_upper", "p", "sign_flip_p", "p_holm", "method"});
    for (const auto& comparison : study.answer.comparisons)
        for (const auto& metric : comparison.metrics)
            csv += csvLine({comparison.a, comparison.b,
                            comparison.allActivities ? "all, equal weights" : comparison.activity,
                            std::string{evaluation::clockName(comparison.clock)}, std::string{metric.key},
                            std::to_string(comparison.sessions), comparison.paired ? "yes" : "no",
                            cell(metric.a), cell(metric.b), cell(metric.difference),
                            metric.ci95 ? fmt::format("{}", metric.ci95->lower) : "",
                            metric.ci95 ? fmt::format("{}", metric.ci95->upper) : "", cell(metric.p),
                            cell(metric.signFlipP), cell(metric.holmP), metric.method});
    return csv;
}

}  // namespace

std::vector<Attachment> tableFiles(const Study& study) {
    return {
        {"agreement-by-activity.csv", agreementCsv(study.answer)},
        {"agreement-pooled.csv", groupedCsv(study, {GroupKey::Device})},
        {"agreement-by-session.csv", groupedCsv(study, {GroupKey::Device, GroupKey::Session})},
        {"agreement-by-range.csv", groupedCsv(study, {GroupKey::Device, GroupKey::Range})},
        {"comparisons.csv", comparisonsCsv(study)},
        {"sessions.csv", sessionsCsv(study)},
        {"flags.csv", flagsCsv(study)},
        {"phases-and-pins.csv", marksCsv(study)},
        {"examples.csv", examplesCsv(examplesOf(study.answer.evidence, study.testDevices, Clock::Aligned))}};
}

std::string pairsCsv(const evaluation::SessionEvidence& evidence) {
    const auto &aligned = *evidence.aligned.seconds, &recorded = *evidence.asRecorded.seconds;
    std::string csv = "second_s,reference_bpm,aligned_bpm,error_bpm,as_recorded_bpm,flag\r\n";
    std::size_t at = 0;  // in the other list, which may lack seconds
    for (std::size_t i = 0; i < aligned.size(); ++i) {
        while (at < recorded.size() && recorded.seconds[at] < aligned.seconds[i])
            ++at;
        const bool both =
            at < recorded.size() && recorded.seconds[at] == aligned.seconds[i] && recorded.paired[at] != 0;
        const bool paired = aligned.paired[i] != 0;
        csv += fmt::format("{},{},{},{},{},{}\r\n", aligned.seconds[i], aligned.reference[i],
                           paired ? fmt::format("{}", aligned.test[i]) : "",
                           paired ? fmt::format("{}", aligned.test[i] - aligned.reference[i]) : "",
                           both ? fmt::format("{}", recorded.test[at]) : "",
                           aligned.flag[i] == 0
                               ? std::string_view{}
                               : flags::flagKindName(static_cast<flags::FlagKind>(aligned.flag[i] - 1)));
    }
    return csv;
}

}  // namespace beatwitness::report
