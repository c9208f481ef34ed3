// What was studied: in short, question and plan, people, devices, sessions, failed attempts.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "core/report/agreement_summary.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/write_up/prose.h"
#include "core/report/write_up/sections.h"

namespace beatwitness::report {
namespace {

using evaluation::Clock;

Paragraph said(std::string text) {
    return {std::move(text), Paragraph::Kind::Plain, {}};
}

std::string joined(const std::vector<std::string>& sentences) {
    std::string text;
    for (const auto& sentence : sentences)
        addSentence(text, typeset(sentence));
    return text;
}

std::string dayOf(const std::optional<Micros>& start) {
    return start ? dayWords(*start) : "no date";
}

// --- Question and plan -----------------------------------------------------------------------------------

Table planTable(const Study& study) {
    Table table{"What was planned and what came of it.",
                {{"Session", false},
                 {"Activity", false},
                 {"Day planned", false},
                 {"Devices", false},
                 {"Came of it", false}},
                {},
                {},
                false};
    for (const auto& planned : study.plan) {
        std::vector<std::string> devices;
        for (const auto device : planned.devices)
            devices.push_back(study.deviceLabel(device).empty() ? "a further device"
                                                                : study.deviceLabel(device));
        std::string became = "still to come";
        for (const auto& session : study.sessions)
            if (planned.session == session.row.id)
                became = session.row.name + ", " + dayOf(session.row.start);
        table.rows.push_back({planned.name, activityWords(study.activityLabel(planned.activity)),
                              orNotRecorded(planned.day), devices.empty() ? "not said" : listed(devices),
                              became});
    }
    return table;
}

/// When a criterion was set, and what that is worth.
std::string whenSet(const Study& study, const library::StoredCriterion& stored) {
    std::optional<Micros> first;
    for (const auto& session : study.sessions)
        if (session.analysed && session.row.start)
            first = std::min(first.value_or(*session.row.start), *session.row.start);
    std::string text =
        stored.criterion.setAt ? "set on " + dayWords(*stored.criterion.setAt) : "set on a day not recorded";
    if (stored.criterion.setAt && first)
        text += *stored.criterion.setAt < *first ? ", before the first session was recorded"
                                                 : ", after the first session was recorded";
    if (stored.withdrawnAt)
        text += "; withdrawn on " + dayWords(*stored.withdrawnAt) + " and not judged below";
    return text;
}

// --- People and devices ----------------------------------------------------------------------------------

std::string bodyNumber(const std::optional<double>& value, const char* unit) {
    return value ? plainNumber(*value) + " " + unit : "not recorded";
}

/// kg/m²; nothing without both.
std::string bodyMassIndex(const library::WearerParticulars& wearer) {
    if (!wearer.height_cm || !wearer.mass_kg || *wearer.height_cm <= 0) return "not recorded";
    const double height_m = *wearer.height_cm / 100;
    return figureNumber(*wearer.mass_kg / (height_m * height_m)) + " kg/m\u00b2";
}

Table wearersTable(const Study& study) {
    Table table{"The wearers.",
                {{"Wearer", false},
                 {"Sex", false},
                 {"Born", false},
                 {"Height", false},
                 {"Mass", false},
                 {"Body mass index", false},
                 {"Skin tone", false},
                 {"Wrist", false},
                 {"Sessions", true}},
                {},
                {},
                false};
    for (const auto& [id, wearer] : study.wearers) {
        const auto sessions = std::ranges::count_if(study.sessions, [&, wearerId = id](const auto& session) {
            return session.row.wearerId == wearerId;
        });
        table.rows.push_back({wearer.label, orNotRecorded(wearer.sex),
                              wearer.birthYear ? std::to_string(*wearer.birthYear) : "not recorded",
                              bodyNumber(wearer.height_cm, "cm"), bodyNumber(wearer.mass_kg, "kg"),
                              bodyMassIndex(wearer), orNotRecorded(wearer.skinTone),
                              bodyNumber(wearer.wrist_cm, "cm"), countWords(static_cast<double>(sessions))});
    }
    return table;
}

/// All that the wearings of one device in one role say.
struct WornDevice {
    std::string device, role;
    std::vector<std::string> units, firmwares, positions, instructed, tightness, modes, electrodes;
    std::size_t recorded = 0, failed = 0;
};

const char* roleWords(library::Role role) {
    switch (role) {
        case library::Role::Reference:
            return "reference";
        case library::Role::Test:
            return "test device";
        case library::Role::Context:
            break;
    }
    return "context";
}

std::vector<WornDevice> wornDevices(const Study& study) {
    std::map<std::pair<library::Role, std::string>, WornDevice> worn;
    for (const auto& session : study.sessions)
        for (const auto& wearing : session.row.wearings) {
            auto& device = worn[{wearing.role, wearing.deviceLabel}];
            device.device = wearing.deviceLabel;
            device.role = roleWords(wearing.role);
            device.units.push_back(wearing.facts.unit);
            device.firmwares.push_back(wearing.facts.firmware);
            device.positions.push_back(wearing.facts.side.empty()
                                           ? wearing.facts.position
                                           : wearing.facts.side + " " + wearing.facts.position);
            device.instructed.push_back(wearing.facts.instructed);
            device.tightness.push_back(wearing.facts.tightness);
            device.modes.push_back(wearing.facts.mode);
            device.electrodes.push_back(wearing.facts.electrodes);
            ++(wearing.recordings.empty() ? device.failed : device.recorded);
        }
    std::vector<WornDevice> all;
    for (auto& [key, device] : worn)
        all.push_back(std::move(device));
    return all;
}

std::string sensorAndModel(const Study& study, const std::string& label) {
    for (const auto& [id, said] : study.devices)
        if (said.label == label) return distinctWords({said.model, said.sensor});
    return "not recorded";
}

Table devicesTable(const std::vector<WornDevice>& devices, const Study& study) {
    Table table{"The devices and how often they were worn.",
                {{"Device", false},
                 {"Role", false},
                 {"Model and sensor", false},
                 {"Unit", false},
                 {"Firmware", false},
                 {"Recorded", true},
                 {"Recorded nothing", true}},
                {},
                {},
                false};
    for (const auto& device : devices)
        table.rows.push_back({device.device, device.role, sensorAndModel(study, device.device),
                              distinctWords(device.units), distinctWords(device.firmwares),
                              countWords(static_cast<double>(device.recorded)),
                              countWords(static_cast<double>(device.failed))});
    return table;
}

Table wearingsTable(const std::vector<WornDevice>& devices) {
    Table table{"How the devices were worn.",
                {{"Device", false},
                 {"Worn at", false},
                 {"As instructed at", false},
                 {"Tightness", false},
                 {"Recording mode", false},
                 {"Electrodes", false}},
                {},
                {},
                false};
    for (const auto& device : devices)
        table.rows.push_back(
            {device.device, distinctWords(device.positions), distinctWords(device.instructed),
             distinctWords(device.tightness), distinctWords(device.modes),
             device.role == std::string{"reference"} ? distinctWords(device.electrodes) : "\u2014"});
    return table;
}

// --- Sessions --------------------------------------------------------------------------------------------

std::string recordedDevices(const library::SessionRow& row) {
    std::vector<std::string> devices;
    for (const auto& wearing : row.wearings)
        if (!wearing.recordings.empty() && wearing.role != library::Role::Context)
            devices.push_back(wearing.deviceLabel);
    return devices.empty() ? "none" : listed(devices);
}

Table sessionsTable(const Study& study) {
    Table table{
        "The sessions, by start. Dates are UTC; the length is the time in which the reference had a value.",
        {{"Session", false},
         {"Date", false},
         {"Activity", false},
         {"Wearer", false},
         {"Length", true},
         {"Recorded by", false}},
        {},
        {},
        false};
    for (const auto& session : study.sessions)
        table.rows.push_back({session.row.name, dayOf(session.row.start), activityWords(session.row.activity),
                              orNotRecorded(session.row.wearer),
                              session.analysed ? lengthWords(session.reference_s) : "not analysed",
                              recordedDevices(session.row)});
    return table;
}

Section failedSection(const Study& study) {
    Section section{"Failed attempts", 2, {}};
    if (study.failed.empty()) {
        section.blocks.emplace_back(said("No attempt without a recording is stored in the project."));
        return section;
    }
    const auto failed = static_cast<double>(study.failed.size());
    section.blocks.emplace_back(said(fmt::format(
        "{} left no recording. {} no figure below, and {} told here because a device that records "
        "nothing has failed as well.",
        counted(failed, "attempt", "attempts"), failed == 1 ? "It enters" : "They enter",
        failed == 1 ? "is" : "are")));
    Table table{"Attempts that left no recording.",
                {{"Device", false}, {"Session", false}, {"Date", false}, {"Reason given", false}},
                {},
                {},
                false};
    for (const auto& attempt : study.failed)
        table.rows.push_back(
            {attempt.device, attempt.session, dayOf(attempt.start), orNotRecorded(attempt.reason)});
    section.blocks.emplace_back(std::move(table));
    return section;
}

std::string firmwareSentence(const std::vector<WornDevice>& devices) {
    std::vector<std::string> changed;
    for (const auto& device : devices) {
        const std::set<std::string> firmwares(device.firmwares.begin(), device.firmwares.end());
        if (device.role == std::string{"test device"} && firmwares.size() > 1)
            changed.push_back(device.device);
    }
    if (changed.empty()) return {};
    return fmt::format(
        "The firmware of the {} changed during the study, or was not noted throughout; the results give each "
        "apart.",
        listed(changed));
}

}  // namespace

std::vector<Section> summarySections(const Study& study) {
    Section section{"In short", 1, {}};
    for (const auto& group : study.pooled)
        if (group.clock == Clock::Aligned)
            section.blocks.emplace_back(
                Paragraph{joined(agreementSummary(group)), Paragraph::Kind::Verdict, {}});
    if (study.criteria.empty())
        section.blocks.emplace_back(said(
            "No requirement was set for this project, so nothing here is passed or failed: the numbers stand "
            "for themselves."));
    section.blocks.emplace_back(
        Paragraph{"These sentences pool all activities and hide their differences; the results by activity "
                  "come first for that "
                  "reason. Every figure is time-weighted over the aligned sessions unless it says otherwise.",
                  Paragraph::Kind::Note,
                  {}});
    return {std::move(section)};
}

std::vector<Section> questionSections(const Study& study) {
    Section question{"Question and plan", 1, {}};
    question.blocks.emplace_back(said(study.project.question.empty()
                                          ? "No question is recorded for this project."
                                          : asSentence(study.project.question)));
    if (study.plan.empty())
        question.blocks.emplace_back(
            said("No plan of sessions is recorded, so nothing can be said of sessions that were "
                 "meant and did not happen."));
    else
        question.blocks.emplace_back(planTable(study));
    Section requirements{"Requirements", 2, {}};
    if (study.criteria.empty()) {
        requirements.blocks.emplace_back(said("None was set."));
    } else {
        Bullets bullets;
        for (const auto& stored : study.criteria)
            bullets.items.push_back(criterionWords(stored.criterion) + "; " + whenSet(study, stored) + ".");
        requirements.blocks.emplace_back(std::move(bullets));
    }
    return {std::move(question), std::move(requirements)};
}

std::vector<Section> materialSections(const Study& study) {
    Section people{"People, devices and sessions", 1, {}};
    const auto without = std::ranges::count_if(study.sessions, [](const auto& s) { return !s.row.wearerId; });
    if (study.wearers.empty())
        people.blocks.emplace_back(said("Who wore the devices is not recorded."));
    else
        people.blocks.emplace_back(wearersTable(study));
    if (!study.wearers.empty() && without > 0)
        people.blocks.emplace_back(
            said(fmt::format("Of {} the wearer is not recorded.",
                             counted(static_cast<double>(without), "session", "sessions"))));
    Section devices{"Devices and wearings", 2, {}};
    const auto worn = wornDevices(study);
    devices.blocks.emplace_back(devicesTable(worn, study));
    devices.blocks.emplace_back(wearingsTable(worn));
    if (const auto sentence = firmwareSentence(worn); !sentence.empty())
        devices.blocks.emplace_back(said(sentence));
    Section sessions{"Sessions", 2, {}};
    sessions.blocks.emplace_back(sessionsTable(study));
    return {std::move(people), std::move(devices), std::move(sessions), failedSection(study)};
}

}  // namespace beatwitness::report
