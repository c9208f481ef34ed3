// Verdicts and how they stand up, devices against each other, examples by rule.
#include <fmt/format.h>

#include <algorithm>

#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/write_up/prose.h"
#include "core/report/write_up/sections.h"

namespace beatwitness::report {
namespace {

using agreement::Verdict;
using evaluation::AgreementGroup;
using evaluation::Clock;
using evaluation::GroupKey;

Paragraph said(std::string text) {
    return {std::move(text), Paragraph::Kind::Plain, {}};
}

std::string furtherSessions(const agreement::CriterionResult& result) {
    if (result.verdict != Verdict::CannotTellYet) return "\u2014";
    if (!result.unitsNeeded) return "cannot be said";
    return countWords(static_cast<double>(*result.unitsNeeded)) + " more " + std::string{result.unit};
}

/// What one criterion makes of every group that it concerns: by activity, then pooled where it is not for
/// one.
Table verdictTable(const Study& study, std::size_t criterion) {
    const auto& asked = study.question.criteria[criterion];
    const auto& facts = agreement::factsOf(asked.metric);
    const auto heading = std::string{facts.name} + (facts.unit.empty() ? "" : ", " + std::string{facts.unit});
    Table table{sentenceCase(criterionWords(asked)) + ": what the aligned sessions say.",
                {{"Device", false},
                 {"Activity", false},
                 {"Sessions", true},
                 {fmt::format("{} ({} % interval)", heading, plainNumber(100 * asked.confidence)), true},
                 {"Verdict", false},
                 {"To tell it takes about", false}},
                {},
                {},
                false};
    const auto add = [&](const AgreementGroup& group, const std::string& activity) {
        for (const auto& result : group.criteria) {
            if (result.criterion.metric != asked.metric || result.criterion.limit != asked.limit ||
                result.criterion.sense != asked.sense || result.criterion.device != asked.device ||
                result.criterion.activity != asked.activity ||
                result.criterion.confidence != asked.confidence)
                continue;
            table.rows.push_back(
                {labelOf(group, GroupKey::Device), activity, countWords(static_cast<double>(group.sessions)),
                 withInterval(result.figure, std::max(1, decimalsOf(asked.metric))),
                 std::string{agreement::verdictName(result.verdict)}, furtherSessions(result)});
            break;
        }
    };
    for (const auto& group : study.answer.groups)
        if (group.clock == Clock::Aligned) add(group, activityWords(labelOf(group, GroupKey::Activity)));
    for (const auto& group : study.pooled)
        if (group.clock == Clock::Aligned) add(group, "all together");
    return table;
}

std::string standingSentence(const evaluation::Robustness& standing) {
    const auto& facts = agreement::factsOf(standing.metric);
    const auto unit = facts.unit.empty() ? std::string{} : fmt::format(" {}", facts.unit);
    const int decimals = decimalsOf(standing.metric);
    auto text =
        fmt::format("{} of the {} lies between {} and {}{} under all these choices.",
                    sentenceCase(std::string{facts.name}),
                    standing.by.empty() ? std::string{"device"} : standing.by.front().second,
                    figureNumber(standing.lowest, decimals), figureNumber(standing.highest, decimals), unit);
    if (standing.oneVerdict)
        text += *standing.oneVerdict ? " All of them give one verdict."
                                     : " They do not all give the same verdict.";
    return text;
}

std::string choiceWords(const evaluation::RobustnessRow& row) {
    auto text = fmt::format("{}, epochs of {} s, reference faults {}",
                            row.clock == Clock::Aligned ? "aligned" : "as recorded", row.epoch_s,
                            row.excludeReferenceFaults ? "left out" : "kept");
    if (!row.without.empty()) text = "without " + quoted(row.without);
    return row.chosen ? text + " (chosen)" : text;
}

Table standingTable(const evaluation::Robustness& standing) {
    const auto& facts = agreement::factsOf(standing.metric);
    const bool judged =
        std::ranges::any_of(standing.rows, [](const auto& row) { return row.verdict.has_value(); });
    Table table{fmt::format("{} of the {} under other choices, with 95 % intervals.",
                            sentenceCase(std::string{facts.name}),
                            standing.by.empty() ? std::string{"device"} : standing.by.front().second),
                {{"Choice", false},
                 {std::string{facts.name} + (facts.unit.empty() ? "" : ", " + std::string{facts.unit}), true},
                 {"Units", true}},
                {},
                {},
                true};
    if (judged) table.columns.push_back({"Verdict", false});
    for (const auto& row : standing.rows) {
        table.rows.push_back({choiceWords(row), withInterval(row.figure, decimalsOf(standing.metric)),
                              countWords(static_cast<double>(row.units))});
        if (judged)
            table.rows.back().push_back(row.verdict ? std::string{agreement::verdictName(*row.verdict)}
                                                    : "\u2014");
    }
    return table;
}

Section standingSection(const Study& study) {
    Section section{"How the figures stand up", 2, {}};
    section.blocks.emplace_back(
        said("The same figures under both clocks, in epochs of 1 to 60 s, with the reference's "
             "faults left out and kept, and without each session in turn."));
    Bullets bullets;
    for (const auto& standing : study.robustness)
        bullets.items.push_back(standingSentence(standing));
    section.blocks.emplace_back(std::move(bullets));
    for (std::size_t i = 0; i < study.testDevices.size(); ++i)
        section.blocks.emplace_back(pictureOf(
            study, FigureKind::Robustness, fmt::format("device-{}-standing", i + 1), {study.testDevices[i]}));
    for (const auto& standing : study.robustness)
        if (standing.metric != agreement::Metric::Mae) section.blocks.emplace_back(standingTable(standing));
    return section;
}

// --- Devices against each other --------------------------------------------------------------------------

const evaluation::MetricDifference* maeOf(const evaluation::DeviceComparison& comparison) {
    const auto found = std::ranges::find(comparison.metrics, std::string_view{"mae_bpm"},
                                         &evaluation::MetricDifference::key);
    return found == comparison.metrics.end() ? nullptr : &*found;
}

std::string p(const std::optional<double>& value) {
    if (!value) return "\u2014";
    return *value < 0.001 ? "< 0.001" : figureNumber(value, 3);
}

Table comparisonTable(const Study& study) {
    Table table{
        "Difference of mean absolute errors (bpm), aligned, session by session on the seconds in which the "
        "reference and both devices have a value. Negative: the first device errs less.",
        {{"Devices", false},
         {"Activity", false},
         {"Sessions", true},
         {"Difference (95 % interval)", true},
         {"p, sign flips", true},
         {"p, Holm", true}},
        {},
        "p by sign flips needs no distribution, but cannot be small with few sessions; p after Holm accounts "
        "for the number of comparisons.",
        false};
    for (const auto& comparison : study.answer.comparisons) {
        const auto* mae = maeOf(comparison);
        if (comparison.clock != Clock::Aligned || mae == nullptr || !mae->difference) continue;
        table.rows.push_back(
            {comparison.a + " minus " + comparison.b,
             comparison.allActivities ? "all, each with equal weight" : activityWords(comparison.activity),
             countWords(static_cast<double>(comparison.sessions)) +
                 (comparison.paired ? "" : " (not shared)"),
             withInterval(mae->difference, mae->ci95), p(mae->signFlipP), p(mae->holmP)});
    }
    return table;
}

std::string comparisonSentence(const evaluation::DeviceComparison& comparison) {
    const auto* mae = maeOf(comparison);
    const auto where = comparison.allActivities ? std::string{"Over all activities with equal weight"}
                                                : "In " + activityWords(comparison.activity);
    if (mae == nullptr || !mae->difference || !mae->ci95)
        return fmt::format("{} too few sessions hold both to say which errs less.", where);
    const bool less = mae->ci95->upper<0, more = mae->ci95->lower> 0;
    if (!less && !more)
        return fmt::format("{} the sessions do not tell which of the two errs less: a difference of {} bpm.",
                           where, withInterval(mae->difference, mae->ci95));
    const bool byChance = mae->holmP && *mae->holmP > 0.05;
    return fmt::format(
        "{} the {} errs less than the {} by {} bpm ({} to {}){}.", where, less ? comparison.a : comparison.b,
        less ? comparison.b : comparison.a, figureNumber(std::abs(*mae->difference)),
        figureNumber(std::min(std::abs(mae->ci95->lower), std::abs(mae->ci95->upper))),
        figureNumber(std::max(std::abs(mae->ci95->lower), std::abs(mae->ci95->upper))),
        byChance ? fmt::format("; among all comparisons this may be chance (p after Holm {})", p(mae->holmP))
                 : std::string{});
}

// --- Examples --------------------------------------------------------------------------------------------

FigureRequest requestOf(const Study& study, const Example& example) {
    FigureRequest request;
    request.kind = FigureKind::Overlay;
    request.project = study.project.label;
    return exampleRequest(std::move(request), example);
}

int exampleWidth(const Example& example) {
    return example.flag ? 120 : 160;
}

std::string exampleTitle(const Example& example) {
    return example.flag ? kindWords(flags::flagKindName(*example.flag))
                        : std::string{exampleRuleName(example.rule)} + " session";
}

}  // namespace

std::vector<Section> verdictSections(const Study& study) {
    Section section{"Verdicts and how they stand up", 1, {}};
    if (study.question.criteria.empty())
        section.blocks.emplace_back(
            said("No requirement is in force, so there is no verdict. How much the figures depend "
                 "on choices of the analysis is told all the same."));
    else
        section.blocks.emplace_back(
            said("A verdict comes from the interval, never from the value alone: a requirement is met, or "
                 "not met, "
                 "where the whole interval says so; otherwise it cannot be told yet."));
    for (std::size_t i = 0; i < study.question.criteria.size(); ++i)
        section.blocks.emplace_back(verdictTable(study, i));
    return {std::move(section), standingSection(study)};
}

std::vector<Section> comparisonSections(const Study& study) {
    if (study.testDevices.size() < 2) return {};
    Section section{"The devices against each other", 1, {}};
    Bullets bullets;
    for (const auto& comparison : study.answer.comparisons)
        if (comparison.clock == Clock::Aligned)
            bullets.items.push_back(
                (study.testDevices.size() > 2 ? comparison.a + " and " + comparison.b + ": " : "") +
                comparisonSentence(comparison));
    section.blocks.emplace_back(std::move(bullets));
    if (auto table = comparisonTable(study); !table.rows.empty())
        section.blocks.emplace_back(std::move(table));
    std::size_t number = 0;
    for (const auto& pair : study.question.compare) {
        const bool paired = std::ranges::any_of(study.answer.comparisons, [&](const auto& comparison) {
            return comparison.a == pair.a && comparison.b == pair.b && comparison.paired;
        });
        if (paired)
            section.blocks.emplace_back(
                pictureOf(study, FigureKind::Paired, fmt::format("paired-{}", ++number), {pair.a, pair.b}));
    }
    return {std::move(section)};
}

std::vector<Section> exampleSections(const Study& study, const Examples& examples) {
    Section section{"Examples, chosen by rule", 1, {}};
    section.blocks.emplace_back(
        said("Nobody chose these. Sessions are ordered by the mean absolute error of the device, aligned, "
             "where it has at "
             "least five minutes of pairs; flagged stretches by the sum of their absolute errors, dropouts "
             "by their length."));
    std::size_t number = 0;
    for (const auto& example : examples) {
        Picture picture;
        picture.name = fmt::format("example-{}", ++number);
        picture.width_mm = exampleWidth(example);
        picture.request = requestOf(study, example);
        picture.caption =
            sentenceCase(example.device) + ", " + exampleTitle(example) + ": " + exampleCaption(example);
        picture.description =
            fmt::format("Heart rate of the {} and the reference over time in the session {}.", example.device,
                        quoted(example.sessionName));
        section.blocks.emplace_back(std::move(picture));
    }
    return {std::move(section)};
}

}  // namespace beatwitness::report
