// How it was done, from the settings in force; what was left out and why.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/analysis/wearing_outcome.h"
#include "core/foundation/version.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/write_up/prose.h"
#include "core/report/write_up/sections.h"

namespace beatwitness::report {
namespace {

using evaluation::Clock;
using evaluation::GroupKey;

Paragraph led(std::string lead, std::string text) {
    return {std::move(text), Paragraph::Kind::Plain, std::move(lead)};
}

Paragraph said(std::string text) {
    return {std::move(text), Paragraph::Kind::Plain, {}};
}

Paragraph pairing(const Study& study) {
    auto text = fmt::format(
        "Every trace was read at whole seconds of session time, which begins at the reference's first valid "
        "heart "
        "rate. Heart rates from {} to {} bpm are valid, all others are missing samples. Between two samples "
        "at most "
        "{} s apart a trace is taken as a straight line; elsewhere it has no value. A second is a pair where "
        "the "
        "reference and the device both have a value. Nothing is imputed: what a device did not measure "
        "lowers its "
        "availability, which is the share of the reference's seconds that are pairs and stands beside every "
        "error.",
        plainNumber(study.setting("lowest_valid_bpm")), plainNumber(study.setting("highest_valid_bpm")),
        plainNumber(study.setting("max_gap_s")));
    text += study.question.epoch_s == 1
                ? " The comparison is second by second; longer epochs, which flatter a device, are given "
                  "where the "
                  "verdicts are held up."
                : fmt::format(
                      " Seconds were averaged over epochs of {} s before they were compared; an epoch counts "
                      "where at least half of its seconds are pairs.",
                      study.question.epoch_s);
    return led("Pairs.", text);
}

/// "27 wearings were aligned by their traces, 1 stands as it was recorded because …".
std::string clockCounts(const Study& study) {
    std::size_t estimated = 0, set = 0, asRecorded = 0, refused = 0;
    for (const auto& session : study.sessions)
        for (const auto& device : session.devices) {
            if (device.alignment.refusedBecause)
                ++refused;
            else if (device.alignment.method == alignment::Method::Auto)
                ++estimated;
            else if (device.alignment.method == alignment::Method::Offset)
                ++set;
            else
                ++asRecorded;
        }
    const auto all = static_cast<double>(estimated + set + asRecorded + refused);
    std::vector<std::string> parts;
    const auto add = [&](std::size_t count, const char* one, const char* many) {
        if (count > 0)
            parts.push_back(
                fmt::format("{} {}", countWords(static_cast<double>(count)), count == 1 ? one : many));
    };
    add(estimated, "was aligned by its trace", "were aligned by their traces");
    add(set, "has an offset that was set", "have an offset that was set");
    add(asRecorded, "was left as recorded on purpose", "were left as recorded on purpose");
    add(refused, "could not be aligned and counts as recorded", "could not be aligned and count as recorded");
    return fmt::format("Of {}, {}.", counted(all, "wearing", "wearings"), listed(parts));
}

Paragraph clocks(const Study& study) {
    return led(
        "Clocks.",
        fmt::format(
            "For each wearing one constant offset was estimated, the one under which the two traces, "
            "smoothed by a Gaussian of {} s, differ least in the mean square about their mean "
            "difference, over the seconds in which the device follows at all. Its 95 % interval comes "
            "from {} resamples of blocks of {} s. An offset is refused where the recordings share less "
            "than {}, where the reference spans less than {} bpm between its 5th and 95th percentile, "
            "where the interval is wider than {} s or where another offset fits as well. A drift is "
            "looked for in more than {} of common time and applied only where its interval excludes "
            "none. Offset and constant delay of a device cannot be told apart by two traces: aligned "
            "results remove both, results as recorded keep both, and both are given. {}",
            plainNumber(study.setting("alignment_smoothing_s")),
            plainNumber(study.setting("alignment_replicates")),
            plainNumber(study.setting("alignment_block_s")),
            lengthWords(study.setting("alignment_least_overlap_s")),
            plainNumber(study.setting("alignment_least_range_bpm")),
            plainNumber(study.setting("alignment_widest_interval_s")),
            lengthWords(study.setting("alignment_drift_from_s")), clockCounts(study)));
}

std::string byHand(const Study& study) {
    int flags = 0;
    for (const auto& group : study.pooled)
        if (group.clock == Clock::Aligned) flags += group.flagsByHand;
    if (flags == 0) return "None of them was changed by hand.";
    return fmt::format("{} made or changed by hand.", counted(flags, "of them was", "of them were"));
}

Paragraph failures(const Study& study) {
    std::size_t flags = 0;
    for (const auto& session : study.sessions)
        for (const auto& device : session.devices)
            flags += device.flags.size();
    return led(
        "Failures.",
        fmt::format(
            "Stretches in which a device failed were found by fixed rules on its trace and the "
            "reference's, and named: dropout, spike, half rate, double rate, cadence lock, stuck, missed "
            "rise, lag, damped, adrift, in this order where several explain the same seconds. {} found "
            "on the devices. {} A failure of a device never removes its seconds from the results.",
            counted(static_cast<double>(flags), "such stretch was", "such stretches were"), byHand(study)));
}

Paragraph errors() {
    return led("Error.",
               "An error is the device minus the reference: a negative one reads low. Bias is its mean, MAE "
               "the mean of "
               "its size, MAPE the mean of its size in per cent of the reference in the same second, RMSE "
               "the square "
               "root of its mean square. Shares within a tolerance include the tolerance itself.");
}

Paragraph intervals(const Study& study) {
    std::size_t wearers = 0;
    for (const auto& group : study.pooled)
        wearers = std::max(wearers, group.wearers);
    const bool byWearer = wearers >= evaluation::wearersFrom;
    return led(
        "Intervals.",
        fmt::format(
            "Neighbouring seconds repeat each other, so the {} is the unit of sampling{}, not the second. "
            "Values are pooled over all paired seconds (time-weighted). Intervals are 95 % intervals by the "
            "linearised ratio of sums over {}, t on their number less one; for MAE, MAPE and RMSE on the "
            "logarithmic scale. A share that every one of them has at 0 or 100 % has Wilson's interval. "
            "Standard deviation, correlation, concordance and intraclass correlation have intervals by "
            "resampling whole {} ({} resamples, seed {}; all of them up to {}), from {} on. One session has "
            "no "
            "interval. Fewer than five are very few, and their intervals are wide for a reason.",
            byWearer ? "wearer" : "session", byWearer ? fmt::format(" ({} wearers)", wearers) : std::string{},
            byWearer ? "wearers" : "sessions", byWearer ? "wearers" : "sessions",
            countWords(static_cast<double>(study.question.bootstrap.replicates)),
            study.question.bootstrap.seed, agreement::bootstrapExactUpTo, agreement::bootstrapFrom));
}

Paragraph limits() {
    return led(
        "Limits of agreement.",
        "The limits within which 95 % of the errors are expected account for repeated pairs in sessions "
        "(Bland and Altman 1999, Stat Methods Med Res 8:135). Their intervals are those of Zou (2013, Stat "
        "Methods Med Res 22:630), with the degrees of freedom that correlated seconds leave, or those of a "
        "session bootstrap where these are wider. Where errors come in bursts no mean and standard deviation "
        "describe them, and the 2.5th and 97.5th percentiles are given beside.");
}

Paragraph software(const Study& study) {
    return led(
        "Software.",
        fmt::format(
            "All numbers were computed by {} (analysis version {}). Every threshold in force stands in "
            "the appendix with its reason; {} changed from the standard. The same recordings, settings "
            "and version give the same numbers.",
            programVersion(), analysis::analysisVersion, [&] {
                const auto changed = std::ranges::count_if(
                    study.settings, [](const auto& row) { return row.value != row.standard; });
                return changed == 0 ? std::string{"none was"}
                                    : counted(static_cast<double>(changed), "was", "were");
            }()));
}

// --- Reference faults and exclusions ---------------------------------------------------------------------

Table referenceFaultsTable(const Study& study) {
    Table table{
        "Stretches in which the reference itself is in doubt.",
        {{"Session", false},
         {"Kind", false},
         {"From and to", false},
         {"Length", true},
         {"Left out", false},
         {"Why", false}},
        {},
        "Times are session time, from the first valid heart rate of the reference. A mere suspicion (two "
        "devices agree against the reference) leaves nothing out.",
        false};
    for (const auto& session : study.sessions)
        for (const auto& flag : session.referenceFlags)
            table.rows.push_back({session.row.name, kindWords(flags::flagKindName(flag.kind)),
                                  spanWords(flag.span),
                                  lengthWords(secondsOf(flag.span.end) - secondsOf(flag.span.begin)),
                                  flag.excluded ? "yes" : "no", typeset(asSentence(flag.because))});
    return table;
}

/// MAE with and without the seconds of reference faults, from the rows that hold everything else as chosen.
Table withAndWithoutTable(const Study& study) {
    Table table{
        "Mean absolute error (bpm) with the seconds of reference faults left out and kept, aligned, with 95 "
        "% "
        "intervals.",
        {{"Device", false}, {"Left out", true}, {"Kept", true}},
        {},
        {},
        false};
    for (const auto& standing : study.robustness) {
        if (standing.metric != agreement::Metric::Mae || standing.by.empty()) continue;
        std::string excluded = "\u2014", kept = "\u2014";
        for (const auto& row : standing.rows)
            if (row.without.empty() && row.clock == Clock::Aligned && row.epoch_s == study.question.epoch_s)
                (row.excludeReferenceFaults ? excluded : kept) = withInterval(row.figure);
        table.rows.push_back({standing.by.front().second, excluded, kept});
    }
    return table;
}

std::string excludedSentence(const Study& study) {
    double seconds = 0, reference = 0;
    std::size_t sessions = 0;
    for (const auto& session : study.sessions) {
        seconds += session.excluded_s;
        reference += session.reference_s;
        sessions += std::ranges::any_of(session.referenceFlags, &flags::Flag::excluded) ? 1 : 0;
    }
    if (sessions == 0)
        return "By its own evidence the reference did not fail in any session, and no second was left out.";
    return fmt::format(
        "By its own evidence the reference failed in {}. Of the {} seconds in which it had a value, {} are "
        "left out "
        "for that in every result, unless it says otherwise. No second was left out because of a device.",
        counted(static_cast<double>(sessions), "session", "sessions"), countWords(reference),
        countWords(seconds));
}

Section floorSection(const Study& study) {
    Section section{"Two references", 2, {}};
    section.blocks.emplace_back(said(
        "In some sessions a second reference was worn. How far it is from the first is the floor under every "
        "device's error: nothing can be shown to be better than that."));
    Table table{"Second references against the first, aligned, with 95 % intervals.",
                {{"Second reference", false},
                 {"Sessions", true},
                 {"Paired", true},
                 {"Bias, bpm", true},
                 {"MAE, bpm", true}},
                {},
                {},
                false};
    for (const auto& group : study.answer.referenceFloor)
        if (group.clock == Clock::Aligned)
            table.rows.push_back({labelOf(group, GroupKey::Device),
                                  countWords(static_cast<double>(group.sessions)), lengthWords(group.pairs),
                                  withInterval(group.timeWeighted.bias),
                                  withInterval(group.timeWeighted.mae)});
    section.blocks.emplace_back(std::move(table));
    return section;
}

}  // namespace

std::vector<Section> methodsSections(const Study& study) {
    Section section{"Methods", 1, {}};
    section.blocks = {pairing(study),   clocks(study), failures(study), errors(),
                      intervals(study), limits(),      software(study)};
    return {std::move(section)};
}

std::vector<Section> exclusionSections(const Study& study) {
    Section section{"Reference faults and exclusions", 1, {}};
    section.blocks.emplace_back(said(excludedSentence(study)));
    if (auto table = referenceFaultsTable(study); !table.rows.empty()) {
        section.blocks.emplace_back(std::move(table));
        section.blocks.emplace_back(withAndWithoutTable(study));
    }
    std::vector<Section> sections{std::move(section)};
    if (!study.answer.referenceFloor.empty()) sections.push_back(floorSection(study));
    return sections;
}

}  // namespace beatwitness::report
