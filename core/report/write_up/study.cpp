#include "core/report/write_up/study.h"

#include <algorithm>
#include <cassert>
#include <set>

#include "core/evaluation/session_view.h"

namespace beatwitness::report {
namespace {

using library::Library;

/// Flags on the reference that further tests repeat stand once.
void addReferenceFlag(std::vector<flags::Flag>& all, const flags::Flag& flag) {
    const auto same = [&](const flags::Flag& other) {
        return other.kind == flag.kind && other.span.begin == flag.span.begin &&
               other.span.end == flag.span.end;
    };
    if (std::ranges::none_of(all, same)) all.push_back(flag);
}

void takeFindings(StudySession& session, evaluation::SessionView view) {
    session.analysed = true;
    session.t0 = view.session.t0;
    session.reference_s = static_cast<double>(view.session.referenceSeconds);
    session.excluded_s = static_cast<double>(view.session.excludedReferenceSeconds);
    for (std::size_t i = 0; i < view.session.tests.size(); ++i) {
        auto& test = view.session.tests[i];
        DeviceFinding found{view.devices[i], std::move(test.alignment), test.asRecorded.agreement, {}, {}};
        found.alignment.lossCurve.clear();
        if (test.aligned) found.aligned = test.aligned->agreement;
        for (const auto& flag : test.flags)
            if (flag.on == flags::FlaggedTrace::Test)
                found.flags.push_back(flag);
            else
                addReferenceFlag(session.referenceFlags, flag);
        session.devices.push_back(std::move(found));
    }
    std::ranges::sort(session.referenceFlags, {}, [](const flags::Flag& flag) { return flag.span.begin; });
}

Result<Done> readSessions(Library& library, Study& study, const RunControl& run) {
    auto rows = library.sessionsOf(study.id);
    if (!rows) return rows.fault();
    for (std::size_t i = 0; i < rows->size(); ++i) {
        if (run.stopRequested()) return cancelled();
        StudySession session{.row = std::move((*rows)[i])};
        auto said = library.particulars(session.row.id);
        if (!said) return said.fault();
        session.said = std::move(*said);
        auto phases = library.phases(session.row.id);
        if (!phases) return phases.fault();
        session.phases = std::move(*phases);
        auto pins = library.pins(session.row.id);
        if (!pins) return pins.fault();
        session.pins = std::move(*pins);
        auto view = evaluation::sessionView(library, session.row, {}, study.question.excludeReferenceFaults,
                                            analysis::settingsWith(study.project.thresholds));
        if (view)
            takeFindings(session, std::move(*view));
        else if (view.fault().code != FaultCode::NothingToCompare &&
                 view.fault().code != FaultCode::NoHeartRate)
            return view.fault();
        study.sessions.push_back(std::move(session));
        run.progress(static_cast<double>(i + 1) / static_cast<double>(rows->size()));
    }
    return Done{};
}

Result<Done> readDevicesAndWearers(Library& library, Study& study) {
    for (const auto& session : study.sessions) {
        if (session.row.wearerId && !study.wearers.contains(*session.row.wearerId)) {
            auto said = library.particulars(*session.row.wearerId);
            if (!said) return said.fault();
            study.wearers.emplace(*session.row.wearerId, std::move(*said));
        }
        for (const auto& wearing : session.row.wearings) {
            if (wearing.recordings.empty())
                study.failed.push_back(
                    {session.row.name, wearing.deviceLabel, wearing.reason, session.row.start});
            if (study.devices.contains(wearing.device)) continue;
            auto said = library.particulars(wearing.device);
            if (!said) return said.fault();
            study.devices.emplace(wearing.device, std::move(*said));
        }
    }
    return Done{};
}

Result<Done> readPlan(Library& library, Study& study) {
    auto plan = library.plan();
    if (!plan) return plan.fault();
    for (auto& planned : *plan)
        if (planned.is.project == study.id) study.plan.push_back(std::move(planned.is));
    const auto activities = library.activities();
    if (!activities) return activities.fault();
    for (const auto& activity : *activities)
        study.activities.emplace(activity.id, activity.label);
    auto criteria = library.criteria(study.id);
    if (!criteria) return criteria.fault();
    study.criteria = std::move(*criteria);
    for (const auto& stored : study.criteria)
        if (!stored.withdrawnAt) study.question.criteria.push_back(stored.criterion);
    return Done{};
}

Result<Done> readRecordings(Library& library, Study& study) {
    std::set<library::RecordingId> used;
    for (const auto& session : study.sessions)
        for (const auto& wearing : session.row.wearings)
            for (const auto& use : wearing.recordings)
                used.insert(use.recording);
    auto all = library.storedFiles();
    if (!all) return all.fault();
    for (auto& file : *all)
        if (used.contains(file.id)) study.recordings.push_back(std::move(file));
    return Done{};
}

/// Every pair of devices that the project has evidence of, by label.
std::vector<evaluation::ComparedPair> pairsOf(const std::vector<std::string>& devices) {
    std::vector<evaluation::ComparedPair> pairs;
    for (std::size_t i = 0; i < devices.size(); ++i)
        for (std::size_t j = i + 1; j < devices.size(); ++j)
            pairs.push_back({devices[i], devices[j]});
    return pairs;
}

void addRobustness(Study& study) {
    auto question = study.question;
    question.by = {evaluation::GroupKey::Device};
    std::vector<agreement::Metric> metrics{agreement::Metric::Mae};
    for (const auto& criterion : question.criteria)
        if (std::ranges::find(metrics, criterion.metric) == metrics.end())
            metrics.push_back(criterion.metric);
    for (const auto metric : metrics)
        for (auto& standing : evaluation::robustness(study.answer.evidence, study.answer.otherFaults,
                                                     question, metric, question.criteria))
            study.robustness.push_back(std::move(standing));
}

/// Devices of which some sessions have another firmware than others.
void addFirmwares(Study& study) {
    std::map<std::string, std::set<std::string>> firmwares;
    for (const auto& item : study.answer.evidence)
        if (!item.secondReference) firmwares[item.device].insert(item.firmware);
    auto question = study.question;
    question.devices.clear();
    for (const auto& [device, found] : firmwares)
        if (found.size() > 1) question.devices.push_back(device);
    if (question.devices.empty()) return;
    question.by = {evaluation::GroupKey::Device, evaluation::GroupKey::Firmware};
    std::vector<evaluation::SessionEvidence> evidence;
    for (const auto& item : study.answer.evidence)
        if (!item.secondReference && firmwares[item.device].size() > 1) evidence.push_back(item);
    study.byFirmware = evaluation::pooledGroups(evidence, question);
}

Result<Done> answer(Library& library, Study& study, const RunControl& run) {
    auto& question = study.question;
    question.robustness = agreement::Metric::Mae;  // brings the other choice of reference faults
    auto answered = evaluation::projectAgreement(library, question, run);
    if (!answered) return answered.fault();
    study.answer = std::move(*answered);
    std::set<std::string> devices, activities;
    for (const auto& item : study.answer.evidence)
        if (!item.secondReference) devices.insert(item.device), activities.insert(item.activity);
    if (devices.empty())
        return Fault{
            FaultCode::NothingToCompare,
            "the project \"" + study.project.label +
                "\" holds no session with a reference and a test device, so there is nothing to write up",
            {},
            {},
            {}};
    study.testDevices.assign(devices.begin(), devices.end());
    study.testActivities.assign(activities.begin(), activities.end());
    question.compare = pairsOf(study.testDevices);
    study.answer.comparisons = evaluation::comparisonsUnderBothClocks(study.answer.evidence, question);
    auto byDevice = question;
    byDevice.by = {evaluation::GroupKey::Device};
    study.pooled = evaluation::pooledGroups(study.answer.evidence, byDevice);
    addFirmwares(study);
    addRobustness(study);
    return Done{};
}

}  // namespace

std::string Study::deviceLabel(library::DeviceId device) const {
    const auto found = devices.find(device);
    return found == devices.end() ? std::string{} : found->second.label;
}

std::string Study::activityLabel(const std::optional<library::ActivityId>& activity) const {
    if (!activity) return {};
    const auto found = activities.find(*activity);
    return found == activities.end() ? std::string{} : found->second;
}

double Study::setting(std::string_view key) const {
    const auto found = std::ranges::find(settings, key, &analysis::SettingRow::key);
    assert(found != settings.end());
    return found->value;
}

Result<Study> studyOf(Library& library, const std::string& project, const RunControl& run) {
    Study study;
    const auto id = library.findProject(project);
    if (!id) return id.fault();
    study.id = *id;
    auto said = library.particulars(*id);
    if (!said) return said.fault();
    study.project = std::move(*said);
    study.question.project = project;
    study.settings = analysis::settingsTable(analysis::settingsWith(study.project.thresholds));
    if (auto done = readPlan(library, study); !done) return done.fault();
    if (auto done = answer(library, study, run.part(0, 0.5)); !done) return done.fault();
    if (auto done = readSessions(library, study, run.part(0.5, 1)); !done) return done.fault();
    if (auto done = readDevicesAndWearers(library, study); !done) return done.fault();
    if (auto done = readRecordings(library, study); !done) return done.fault();
    return study;
}

}  // namespace beatwitness::report
