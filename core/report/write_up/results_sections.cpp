// What came out: by activity first, pooled last.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/report/agreement_summary.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/write_up/prose.h"
#include "core/report/write_up/sections.h"

namespace beatwitness::report {
namespace {

using agreement::Metric;
using evaluation::AgreementGroup;
using evaluation::Clock;
using evaluation::GroupKey;

using Groups = std::vector<AgreementGroup>;

/// The labels that stand in front of a row.
using Keys = std::vector<std::pair<GroupKey, const char*>>;
const Keys byActivity{{GroupKey::Activity, "Activity"}, {GroupKey::Device, "Device"}};
const Keys byDevice{{GroupKey::Device, "Device"}};
const Keys byFirmware{{GroupKey::Device, "Device"}, {GroupKey::Firmware, "Firmware"}};

std::string labelUnder(const AgreementGroup& group, GroupKey key) {
    const auto label = labelOf(group, key);
    if (!label.empty()) return label;
    return key == GroupKey::Activity ? "no activity" : "not recorded";
}

std::string percent(const std::optional<Percent>& value) {
    return figureNumber(value ? std::optional{value->value} : std::nullopt);
}

Table tableFor(std::string caption, const Keys& keys, const std::vector<const char*>& numbers) {
    Table table{std::move(caption), {}, {}, {}, false};
    for (const auto& [key, heading] : keys)
        table.columns.push_back({heading, false});
    for (const char* heading : numbers)
        table.columns.push_back({heading, true});
    return table;
}

std::vector<std::string> labelsOf(const AgreementGroup& group, const Keys& keys) {
    std::vector<std::string> labels;
    for (const auto& [key, heading] : keys)
        labels.push_back(labelUnder(group, key));
    return labels;
}

/// Groups under one clock, activity by activity, so that devices stand below each other.
Groups sorted(const Groups& groups, Clock clock, const Keys& keys) {
    Groups rows;
    std::ranges::copy_if(groups, std::back_inserter(rows),
                         [&](const auto& group) { return group.clock == clock; });
    std::ranges::stable_sort(rows, {}, [&](const AgreementGroup& group) { return labelsOf(group, keys); });
    return rows;
}

Table errorTable(const Groups& groups, const Keys& keys, const std::string& what) {
    auto table =
        tableFor(what + ", aligned: evidence and error, with 95 % intervals over sessions in brackets.", keys,
                 {"Sessions", "Paired time", "Availability, %", "Bias, bpm", "MAE, bpm", "MAPE, %"});
    bool refused = false;
    for (const auto& group : sorted(groups, Clock::Aligned, keys)) {
        auto row = labelsOf(group, keys);
        auto sessions = countWords(static_cast<double>(group.sessions));
        if (group.sessionsRefused > 0)
            sessions += fmt::format(" ({}*)", group.sessionsRefused), refused = true;
        const auto& figures = group.timeWeighted;
        for (auto cell : {sessions, lengthWords(group.pairs), percent(group.coverage),
                          withInterval(figures.bias), withInterval(figures.mae), withInterval(figures.mape)})
            row.push_back(std::move(cell));
        table.rows.push_back(std::move(row));
    }
    if (refused)
        table.note = "* of these, sessions whose clocks could not be aligned; they count as recorded.";
    return table;
}

Table shareTable(const Groups& groups, const Keys& keys, const std::string& what) {
    auto table =
        tableFor(what +
                     ", aligned: share of the paired time within a tolerance (%) and at half of the "
                     "reference's rate (%), with 95 % intervals.",
                 keys, {"\u00b15 bpm", "\u00b110 bpm", "\u00b110 %", "\u00b15 bpm or 10 %", "At half rate"});
    for (const auto& group : sorted(groups, Clock::Aligned, keys)) {
        auto row = labelsOf(group, keys);
        for (const auto metric : {Metric::Within5Bpm, Metric::Within10Bpm, Metric::Within10Pct,
                                  Metric::Within5BpmOr10Pct, Metric::HalfRate})
            row.push_back(withInterval(group.timeWeighted.of(metric)));
        table.rows.push_back(std::move(row));
    }
    return table;
}

Table limitsTable(const Groups& groups, const Keys& keys, const std::string& what) {
    auto table =
        tableFor(what +
                     ", aligned: standard deviation of the error, limits of agreement and percentiles of "
                     "the errors (bpm), with 95 % intervals.",
                 keys, {"SD", "Lower limit", "Upper limit", "2.5th percentile", "97.5th percentile"});
    bool bursts = false;
    for (const auto& group : sorted(groups, Clock::Aligned, keys)) {
        auto row = labelsOf(group, keys);
        const auto* limits = group.limits.chosen();
        const auto& percentiles = group.limits.percentiles;
        const bool mixed =
            group.limits.excessKurtosis && *group.limits.excessKurtosis > agreement::burstKurtosis;
        bursts = bursts || mixed;
        row.push_back(withInterval(group.timeWeighted.sd));
        row.push_back(limits ? withInterval(limits->lower) + (mixed ? " \u2020" : "") : "\u2014");
        row.push_back(limits ? withInterval(limits->upper) + (mixed ? " \u2020" : "") : "\u2014");
        row.push_back(percentiles ? figureNumber(percentiles->lower.value) : "\u2014");
        row.push_back(percentiles ? figureNumber(percentiles->upper.value) : "\u2014");
        table.rows.push_back(std::move(row));
    }
    if (bursts)
        table.note =
            "\u2020 the errors come in bursts (heavy tails), which limits of agreement do not describe: go "
            "by "
            "the percentiles.";
    return table;
}

Table correlationTable(const Groups& groups, const Keys& keys, const std::string& what) {
    auto table =
        tableFor(what +
                     ", aligned: figures that rise with the spread of heart rate in the sessions and must "
                     "not be compared between activities, with 95 % intervals.",
                 keys, {"RMSE, bpm", "Correlation r", "Concordance", "ICC(2,1)", "Independent readings"});
    for (const auto& group : sorted(groups, Clock::Aligned, keys)) {
        auto row = labelsOf(group, keys);
        for (const auto metric : {Metric::Rmse, Metric::PearsonR, Metric::Ccc, Metric::Icc21})
            row.push_back(withInterval(group.timeWeighted.of(metric), decimalsOf(metric)));
        row.push_back(countWords(std::round(group.independentSeconds)));
        table.rows.push_back(std::move(row));
    }
    table.note =
        "Independent readings: how many seconds the errors are worth, given that neighbours repeat each "
        "other.";
    return table;
}

/// Both clocks and both weightings side by side.
Table clocksTable(const Study& study) {
    auto table = tableFor(
        "Mean absolute error (bpm) under both clocks and both weightings, with 95 % intervals. "
        "Time-weighted pools all paired seconds; session-weighted is the mean of session values.",
        byActivity, {"Aligned, time", "Aligned, session", "As recorded, time", "As recorded, session"});
    const auto aligned = sorted(study.answer.groups, Clock::Aligned, byActivity);
    const auto recorded = sorted(study.answer.groups, Clock::AsRecorded, byActivity);
    for (std::size_t i = 0; i < aligned.size() && i < recorded.size(); ++i) {
        auto row = labelsOf(aligned[i], byActivity);
        for (const auto* group : {&aligned[i], &recorded[i]}) {
            row.push_back(withInterval(group->timeWeighted.mae));
            row.push_back(withInterval(group->sessionWeighted.mae));
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

Table wearerTable(const Study& study) {
    Table table{
        "Each wearer apart, aligned, all activities together, with 95 % intervals over that wearer's "
        "sessions.",
        {{"Device", false},
         {"Wearer", false},
         {"Sessions", true},
         {"Paired time", true},
         {"Bias, bpm", true},
         {"MAE, bpm", true}},
        {},
        {},
        false};
    for (const auto& group : sorted(study.pooled, Clock::Aligned, byDevice))
        for (const auto& wearer : group.byWearer)
            table.rows.push_back({labelUnder(group, GroupKey::Device), orNotRecorded(wearer.wearer),
                                  countWords(static_cast<double>(wearer.sessions)), lengthWords(wearer.pairs),
                                  withInterval(wearer.timeWeighted.bias),
                                  withInterval(wearer.timeWeighted.mae)});
    return table;
}

std::string anchor(const std::string& label, const Study& study) {
    const auto found = std::ranges::find(study.testDevices, label);
    return fmt::format("device-{}", found - study.testDevices.begin() + 1);
}

Section activitySection(const Study& study) {
    Section section{"By activity", 2, {}};
    const std::string what = "Agreement by activity and device";
    section.blocks.emplace_back(errorTable(study.answer.groups, byActivity, what));
    section.blocks.emplace_back(pictureOf(study, FigureKind::Intervals, "intervals"));
    section.blocks.emplace_back(pictureOf(study, FigureKind::SmallMaps, "maps-by-activity"));
    section.blocks.emplace_back(shareTable(study.answer.groups, byActivity, what));
    section.blocks.emplace_back(limitsTable(study.answer.groups, byActivity, what));
    section.blocks.emplace_back(correlationTable(study.answer.groups, byActivity, what));
    section.blocks.emplace_back(clocksTable(study));
    return section;
}

Section pooledSection(const Study& study) {
    Section section{"All activities together", 2, {}};
    section.blocks.emplace_back(
        Paragraph{"What follows mixes activities in the proportions in which they were recorded, and says "
                  "nothing of another mix.",
                  Paragraph::Kind::Plain,
                  {}});
    const std::string what = "All activities together";
    section.blocks.emplace_back(errorTable(study.pooled, byDevice, what));
    section.blocks.emplace_back(shareTable(study.pooled, byDevice, what));
    section.blocks.emplace_back(limitsTable(study.pooled, byDevice, what));
    if (auto table = wearerTable(study); !table.rows.empty()) section.blocks.emplace_back(std::move(table));
    if (!study.byFirmware.empty())
        section.blocks.emplace_back(errorTable(study.byFirmware, byFirmware, "By firmware"));
    return section;
}

Section shapesSection(const Study& study) {
    Section section{"Where and how large the errors are", 2, {}};
    for (const auto& device : study.testDevices) {
        auto map = pictureOf(study, FigureKind::Map, anchor(device, study) + "-map", {device});
        map.width_mm = 120;
        section.blocks.emplace_back(std::move(map));
        section.blocks.emplace_back(
            pictureOf(study, FigureKind::Difference, anchor(device, study) + "-difference", {device}));
    }
    section.blocks.emplace_back(pictureOf(study, FigureKind::Distribution, "error-distribution"));
    section.blocks.emplace_back(pictureOf(study, FigureKind::ErrorByRange, "error-by-range"));
    return section;
}

}  // namespace

std::vector<Section> resultSections(const Study& study) {
    Section section{"Results", 1, {}};
    for (const auto& group : sorted(study.answer.groups, Clock::Aligned, byActivity)) {
        std::string text;
        const auto sentences = agreementSummary(group);
        // The verdicts have a chapter of their own.
        for (std::size_t i = 0; i < sentences.size() - group.criteria.size(); ++i)
            addSentence(text, typeset(sentences[i]));
        section.blocks.emplace_back(Paragraph{text, Paragraph::Kind::Plain, {}});
    }
    return {std::move(section), activitySection(study), pooledSection(study), shapesSection(study)};
}

std::vector<Section> attributionSections(const Study& study) {
    Section section{"What the errors are made of", 1, {}};
    section.blocks.emplace_back(
        Paragraph{"Every paired second counts for the failure that covers it, for \u201cwithin "
                  "tolerance\u201d where there is none "
                  "and the error is at most 5 bpm or 10 %, and otherwise for \u201cno flag\u201d. The "
                  "contributions add up to the "
                  "mean absolute error.",
                  Paragraph::Kind::Plain,
                  {}});
    section.blocks.emplace_back(pictureOf(study, FigureKind::Attribution, "attribution"));
    Table table{"Contributions to the mean absolute error, aligned, all activities together.",
                {{"Device", false},
                 {"Kind", false},
                 {"Paired time", true},
                 {"Contribution, bpm", true},
                 {"Share, %", true}},
                {},
                {},
                false};
    for (const auto& group : sorted(study.pooled, Clock::Aligned, byDevice))
        for (const auto& row : group.attribution)
            table.rows.push_back({labelUnder(group, GroupKey::Device), kindWords(row.kind),
                                  lengthWords(row.seconds), figureNumber(row.contribution.value, 2),
                                  figureNumber(row.share.value)});
    section.blocks.emplace_back(std::move(table));
    return {std::move(section)};
}

}  // namespace beatwitness::report
