// Every session: small multiples, what was said of it, and what came out.
#include <fmt/format.h>

#include <algorithm>

#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/write_up/prose.h"
#include "core/report/write_up/sections.h"

namespace beatwitness::report {
namespace {

std::string intervalWords(const std::optional<alignment::Interval>& interval, int decimals) {
    if (!interval) return {};
    return fmt::format(" ({} to {})", signedNumber(interval->lower, decimals),
                       signedNumber(interval->upper, decimals));
}

/// "+4.2 (+4.0 to +4.4)", "set to +4.2", "as recorded".
std::string offsetWords(const DeviceFinding& device) {
    const auto& alignment = device.alignment;
    if (alignment.refusedBecause) return "refused";
    if (!alignment.correction) return "as recorded";
    auto text = signedNumber(alignment.correction->offset.value, 2);
    if (alignment.method == alignment::Method::Offset) return "set to " + text;
    text += intervalWords(alignment.offsetInterval_s, 2);
    if (alignment.correction->drift.value != 0)
        text += fmt::format(", drift {} ppm", signedNumber(alignment.correction->drift.value, 0));
    return text;
}

template <class Unit>
std::string numberOf(const std::optional<Unit>& value, int decimals = 1) {
    return figureNumber(value ? std::optional{value->value} : std::nullopt, decimals);
}

std::string flagsWords(const std::vector<flags::Flag>& found) {
    if (found.empty()) return "none";
    std::string text;
    for (const auto& flag : found)
        text += (text.empty() ? "" : "; ") + kindWords(flags::flagKindName(flag.kind)) + " " +
                spanWords(flag.span);
    return text;
}

Table findingsTable(const Study& study) {
    Table table{
        "Every wearing: the offset added to the device's clock (s, 95 % interval), then bias and MAE (bpm) "
        "under "
        "the aligned clock, or as recorded where there is none, MAE as recorded, availability, and what "
        "failed "
        "when, in session time.",
        {{"Session", false},
         {"Device", false},
         {"Offset, s", true},
         {"Bias", true},
         {"MAE", true},
         {"MAE as recorded", true},
         {"Availability, %", true},
         {"Flags", false}},
        {},
        {},
        true};
    for (const auto& session : study.sessions)
        for (const auto& device : session.devices) {
            const auto& block = device.aligned ? *device.aligned : device.asRecorded;
            table.rows.push_back({session.row.name, device.device, offsetWords(device), numberOf(block.bias),
                                  numberOf(block.mae), numberOf(device.asRecorded.mae),
                                  numberOf(block.coverage), flagsWords(device.flags)});
        }
    return table;
}

void addWord(std::vector<std::string>& words, const char* name, const std::string& value) {
    if (!value.empty()) words.push_back(std::string{name} + ": " + value);
}

/// What a person wrote of a session; empty where nothing was.
std::string remarksOn(const library::SessionParticulars& said) {
    std::vector<std::string> words;
    const auto& is = said.conditions;
    addWord(words, "place", is.place);
    addWord(words, "temperature", is.temperature);
    addWord(words, "protocol", is.protocol);
    addWord(words, "meal", is.meal);
    addWord(words, "caffeine", is.caffeine);
    addWord(words, "exercise before", is.priorExercise);
    addWord(words, "medication", is.medication);
    addWord(words, "criterion's processing", is.processing);
    std::string text = asSentence(said.note);
    for (const auto& word : words)
        addSentence(text, word);
    return text;
}

Section remarksSection(const Study& study) {
    Section section{"Remarks and refusals", 2, {}};
    Bullets bullets;
    for (const auto& session : study.sessions) {
        auto text = remarksOn(session.said);
        for (const auto& device : session.devices)
            if (device.alignment.refusedBecause)
                addSentence(text, fmt::format("The clock of the {} was not aligned: {}", device.device,
                                              *device.alignment.refusedBecause));
        if (!session.analysed)
            addSentence(
                text,
                "Not analysed: it holds no reference with a heart rate, or nothing to hold against it.");
        if (!text.empty()) bullets.items.push_back(session.row.name + " \u2014 " + text);
    }
    if (bullets.items.empty()) return section;
    section.blocks.emplace_back(std::move(bullets));
    return section;
}

}  // namespace

std::vector<Section> sessionAppendix(const Study& study) {
    Section section{"Appendix: every session", 1, {}};
    std::size_t number = 0;
    for (const auto& activity : study.testActivities) {
        auto picture = pictureOf(study, FigureKind::Sessions, fmt::format("sessions-{}", ++number));
        picture.request.activities = {activity};
        picture.request.title = "Every session in " + activityWords(activity);
        picture.description += " Activity: " + activityWords(activity) + ".";
        picture.caption = "Every session in " + activityWords(activity) +
                          ": heart rate of the reference and the devices over session time, with mean "
                          "absolute errors in bpm.";
        const auto sessions = std::ranges::count_if(
            study.sessions, [&](const auto& one) { return one.analysed && one.row.activity == activity; });
        picture.width_mm = sessions == 1 ? 90 : sessions == 2 ? 130 : 180;
        section.blocks.emplace_back(std::move(picture));
    }
    section.blocks.emplace_back(findingsTable(study));
    std::vector<Section> sections{std::move(section)};
    if (auto remarks = remarksSection(study); !remarks.blocks.empty()) sections.push_back(std::move(remarks));
    return sections;
}

}  // namespace beatwitness::report
