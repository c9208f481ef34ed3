// For looking up: the consensus checklist, settings in force, recordings with their digests, formulas.
#include <fmt/format.h>

#include <algorithm>

#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/write_up/prose.h"
#include "core/report/write_up/sections.h"

namespace beatwitness::report {
namespace {

using library::Role;

/// Distinct values of one fact over the sessions, and of how many it is known.
template <class Fact>
std::string overSessions(const Study& study, Fact fact) {
    std::vector<std::string> values;
    std::size_t known = 0;
    for (const auto& session : study.sessions) {
        values.push_back(fact(session));
        known += values.back().empty() ? 0 : 1;
    }
    if (known == 0) return "not recorded";
    auto text = distinctWords(values);
    if (known < study.sessions.size())
        text +=
            fmt::format(" (not recorded in {})",
                        counted(static_cast<double>(study.sessions.size() - known), "session", "sessions"));
    return text;
}

template <class Fact>
std::string overWearings(const Study& study, Role role, Fact fact) {
    std::vector<std::string> values;
    std::size_t known = 0;
    for (const auto& session : study.sessions)
        for (const auto& wearing : session.row.wearings)
            if (wearing.role == role) {
                const std::string value = fact(wearing);
                known += value.empty() ? 0 : 1;
                values.push_back(value.empty() ? value : wearing.deviceLabel + " " + value);
            }
    if (known == 0) return "not recorded";
    auto text = distinctWords(values);
    if (known < values.size())
        text += fmt::format(" (not recorded in {})",
                            counted(static_cast<double>(values.size() - known), "wearing", "wearings"));
    return text;
}

template <class Fact>
std::string overWearers(const Study& study, Fact fact) {
    std::vector<std::string> values;
    for (const auto& [id, wearer] : study.wearers)
        values.push_back(fact(wearer));
    return distinctWords(values);
}

std::string modelAndSensor(const Study& study, Role role) {
    std::vector<std::string> values;
    for (const auto& session : study.sessions)
        for (const auto& wearing : session.row.wearings)
            if (wearing.role == role && study.devices.contains(wearing.device)) {
                const auto& said = study.devices.at(wearing.device);
                if (!said.model.empty() || !said.sensor.empty())
                    values.push_back(said.label + " " + said.model + (said.model.empty() ? "" : " ") +
                                     said.sensor);
            }
    return distinctWords(values);
}

std::string number(const std::optional<double>& value, const char* unit) {
    return value ? plainNumber(*value) + unit : "";
}

using Rows = std::vector<std::vector<std::string>>;

void peopleRows(const Study& study, Rows& rows) {
    const auto wearers = study.wearers.empty()
                             ? std::string{"not recorded"}
                             : counted(static_cast<double>(study.wearers.size()), "wearer", "wearers");
    rows.push_back({"People", "Number", wearers});
    rows.push_back({"", "Sex", overWearers(study, [](const auto& w) { return w.sex; })});
    rows.push_back({"", "Year of birth", overWearers(study, [](const auto& w) {
                        return w.birthYear ? std::to_string(*w.birthYear) : std::string{};
                    })});
    rows.push_back(
        {"", "Height", overWearers(study, [](const auto& w) { return number(w.height_cm, " cm"); })});
    rows.push_back({"", "Mass", overWearers(study, [](const auto& w) { return number(w.mass_kg, " kg"); })});
    rows.push_back({"", "Skin tone", overWearers(study, [](const auto& w) { return w.skinTone; })});
}

void criterionRows(const Study& study, Rows& rows) {
    const auto facts = [&](auto member) {
        return overWearings(study, Role::Reference,
                            [member](const auto& wearing) { return wearing.facts.*member; });
    };
    using library::WearingFacts;
    rows.push_back({"Criterion", "Model and sensor", modelAndSensor(study, Role::Reference)});
    rows.push_back({"", "Placement", facts(&WearingFacts::position)});
    rows.push_back({"", "Firmware", facts(&WearingFacts::firmware)});
    rows.push_back({"", "Electrodes", facts(&WearingFacts::electrodes)});
    rows.push_back({"", "Its own agreement",
                    study.answer.referenceFloor.empty()
                        ? "not recorded"
                        : "a second reference was worn; see \u201cTwo references\u201d"});
}

void indexRows(const Study& study, Rows& rows) {
    const auto facts = [&](auto member) {
        return overWearings(study, Role::Test,
                            [member](const auto& wearing) { return wearing.facts.*member; });
    };
    using library::WearingFacts;
    rows.push_back({"Index devices", "Model and sensor", modelAndSensor(study, Role::Test)});
    rows.push_back({"", "Placement as instructed", facts(&WearingFacts::instructed)});
    rows.push_back({"", "Actual placement", overWearings(study, Role::Test, [](const auto& wearing) {
                        return wearing.facts.side.empty() ? wearing.facts.position
                                                          : wearing.facts.side + " " + wearing.facts.position;
                    })});
    rows.push_back({"", "Tightness", facts(&WearingFacts::tightness)});
    rows.push_back({"", "Firmware", facts(&WearingFacts::firmware)});
    rows.push_back({"", "Recording mode", facts(&WearingFacts::mode)});
}

void preparationRows(const Study& study, Rows& rows) {
    const auto said = [&](auto member) {
        return overSessions(study, [member](const auto& session) { return session.said.conditions.*member; });
    };
    using library::Conditions;
    rows.push_back({"Preparation", "Meal", said(&Conditions::meal)});
    rows.push_back({"", "Caffeine", said(&Conditions::caffeine)});
    rows.push_back({"", "Exercise before", said(&Conditions::priorExercise)});
    rows.push_back({"", "Medication", said(&Conditions::medication)});
    rows.push_back({"Protocol", "Activities", distinctWords(study.testActivities)});
    rows.push_back({"", "Protocol", said(&Conditions::protocol)});
    rows.push_back({"", "Place", said(&Conditions::place)});
    rows.push_back({"", "Temperature", said(&Conditions::temperature)});
}

void processingRows(const Study& study, Rows& rows) {
    rows.push_back({"Processing", "Of the criterion", overSessions(study, [](const auto& session) {
                        return session.said.conditions.processing;
                    })});
    rows.push_back({"", "Of the index devices",
                    fmt::format("read at whole seconds, straight lines over gaps of at most {} s",
                                plainNumber(study.setting("max_gap_s")))});
    rows.push_back({"", "Epoch", fmt::format("{} s", study.question.epoch_s)});
    rows.push_back(
        {"", "Synchronisation", "by the traces, with intervals and refusals; see \u201cMethods\u201d"});
    rows.push_back({"Statistics", "Unit of sampling",
                    study.wearers.size() >= evaluation::wearersFrom ? "wearer" : "session"});
    rows.push_back({"", "By activity",
                    "availability, bias, MAE, MAPE, RMSE, shares, limits of agreement, concordance; "
                    "see \u201cResults\u201d"});
    rows.push_back({"", "Failed attempts",
                    study.failed.empty()
                        ? "none stored"
                        : counted(static_cast<double>(study.failed.size()), "attempt", "attempts") +
                              " without a recording"});
}

}  // namespace

std::vector<Section> checklistSections(const Study& study) {
    Section section{"Appendix: consensus checklist", 1, {}};
    section.blocks.emplace_back(
        Paragraph{"The topics are those of the recommendations for determining the validity of consumer "
                  "wearable heart rate devices "
                  "(Br J Sports Med 2021;55:767\u2013779), filled from what is stored.",
                  Paragraph::Kind::Plain,
                  {}});
    Table table{"What a validation should report.",
                {{"Topic", false}, {"Item", false}, {"Here", false}},
                {},
                {},
                false};
    for (const auto add : {peopleRows, criterionRows, indexRows, preparationRows, processingRows})
        add(study, table.rows);
    section.blocks.emplace_back(std::move(table));
    return {std::move(section)};
}

std::vector<Section> settingsSections(const Study& study) {
    Section section{"Appendix: settings and formulas", 1, {}};
    Table formulas{"How the figures are defined; d is the error of a pair.",
                   {{"Figure", false}, {"Unit", false}, {"Definition", false}, {"Source", false}},
                   {},
                   {},
                   true};
    for (const auto& facts : agreement::metrics())
        formulas.rows.push_back({std::string{facts.name},
                                 std::string{facts.unit.empty() ? "\u2014" : facts.unit},
                                 std::string{facts.formula}, std::string{facts.source}});
    section.blocks.emplace_back(std::move(formulas));
    Table table{
        "Every threshold in force.",
        {{"Setting", false}, {"Value", true}, {"Unit", false}, {"What it decides", false}, {"Source", false}},
        {},
        "A value with an asterisk was changed from the standard.",
        true};
    bool changed = false;
    for (const auto& row : study.settings) {
        changed = changed || row.value != row.standard;
        table.rows.push_back({std::string{row.key},
                              plainNumber(row.value) + (row.value != row.standard ? "*" : ""),
                              std::string{row.unit.empty() ? "\u2014" : row.unit},
                              sentenceCase(std::string{row.reason}), std::string{row.source}});
    }
    if (!changed) table.note.clear();
    section.blocks.emplace_back(std::move(table));
    return {std::move(section)};
}

std::vector<Section> recordingsSections(const Study& study) {
    Section section{"Appendix: recordings", 1, {}};
    Table table{"The recordings behind every number, by the SHA-256 of their bytes.",
                {{"File", false}, {"SHA-256", false}},
                {},
                {},
                true};
    for (const auto& file : study.recordings)
        table.rows.push_back({file.file, file.sha256});
    section.blocks.emplace_back(std::move(table));
    return {std::move(section)};
}

}  // namespace beatwitness::report
