#include "core/report/comparison_summary.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

#include "core/report/figures/figure_words.h"

namespace beatwitness::report {
namespace {

using evaluation::DeviceComparison;
using evaluation::MetricDifference;

constexpr std::string_view headline = "mae_bpm";

const MetricDifference& metricOf(const DeviceComparison& comparison, std::string_view key) {
    return *std::ranges::find(comparison.metrics, key, &MetricDifference::key);
}

/// -1: a errs less, 1: b errs less, 0: cannot be told.
int direction(const MetricDifference& metric) {
    if (!metric.ci95) return 0;
    return metric.ci95->upper < 0 ? -1 : metric.ci95->lower > 0 ? 1 : 0;
}

std::string capital(std::string text) {
    if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
    return text;
}

std::string activityName(const DeviceComparison& comparison) {
    return comparison.activity.empty() ? "sessions without an activity" : comparison.activity;
}

std::string listOf(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i)
        text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
    return text;
}

std::string sessionsWords(const DeviceComparison& comparison) {
    if (comparison.paired)
        return counted(static_cast<double>(comparison.sessions), "shared session", "shared sessions");
    return fmt::format("{} against {} sessions", comparison.sessionsA, comparison.sessionsB);
}

/// "(0.5 to 3.1 less, 10 shared sessions)".
std::string lessBetween(const MetricDifference& metric, const DeviceComparison& comparison) {
    const double first = std::abs(metric.ci95->lower), second = std::abs(metric.ci95->upper);
    return fmt::format("({} to {} less, {})", figureNumber(std::min(first, second)),
                       figureNumber(std::max(first, second)), sessionsWords(comparison));
}

std::string mainSentence(const DeviceComparison& comparison) {
    const auto& mae = metricOf(comparison, headline);
    if (!mae.difference)
        return fmt::format("{} and {} cannot be held against each other: {}.", capital(comparison.a),
                           comparison.b, mae.method);
    const int who = direction(mae);
    if (who != 0)
        return fmt::format("{} errs {} bpm less than {} {}.", capital(who < 0 ? comparison.a : comparison.b),
                           figureNumber(std::abs(*mae.difference)), who < 0 ? comparison.b : comparison.a,
                           lessBetween(mae, comparison));
    if (!mae.ci95)
        return fmt::format(
            "{} and {} differ by {} bpm in {}, which without an interval says nothing of the "
            "next session.",
            capital(comparison.a), comparison.b, signedNumber(*mae.difference), sessionsWords(comparison));
    return fmt::format(
        "{} and {} cannot be told apart: the difference of their mean absolute errors is {} "
        "bpm ({} to {}, {}).",
        capital(comparison.a), comparison.b, signedNumber(*mae.difference), signedNumber(mae.ci95->lower),
        signedNumber(mae.ci95->upper), sessionsWords(comparison));
}

/// Where the gap shows, and where it does not.
std::string activitiesSentence(std::span<const DeviceComparison> comparisons) {
    std::vector<std::string> less[2], unclear, single;
    for (const auto& comparison : comparisons) {
        if (comparison.allActivities) continue;
        const auto& mae = metricOf(comparison, headline);
        if (!mae.ci95) {
            single.push_back(activityName(comparison));
        } else if (const int who = direction(mae); who == 0) {
            unclear.push_back(activityName(comparison));
        } else {
            less[who < 0 ? 0 : 1].push_back(fmt::format("{} ({} bpm)", activityName(comparison),
                                                        figureNumber(std::abs(*mae.difference))));
        }
    }
    const auto& first = comparisons.front();
    std::vector<std::string> parts;
    for (int who = 0; who < 2; ++who)
        if (!less[who].empty())
            parts.push_back(
                fmt::format("{} errs less in {}", who == 0 ? first.a : first.b, listOf(less[who])));
    if (!unclear.empty()) parts.push_back("they cannot be told apart in " + listOf(unclear));
    if (!single.empty()) parts.push_back("too few sessions for an interval in " + listOf(single));
    std::string text;
    for (std::size_t i = 0; i < parts.size(); ++i)
        text += (i == 0 ? "" : "; ") + parts[i];
    return capital(text) + ".";
}

std::string marginSentence(const DeviceComparison& comparison) {
    const auto& equivalence = *metricOf(comparison, headline).equivalence;
    return fmt::format(
        "Against the margin of {} bpm the mean absolute errors {} as equivalent (90 % interval "
        "{} to {}); this concerns the mean alone.",
        figureNumber(equivalence.margin), equivalence.equivalent ? "count" : "do not count",
        signedNumber(equivalence.ci90.lower), signedNumber(equivalence.ci90.upper));
}

std::string cell(std::optional<double> value, int decimals) {
    return value ? signedNumber(*value, decimals) : "\u2014";
}

std::string pText(std::optional<double> p) {
    if (!p) return "\u2014";
    return *p < 0.001 ? "< 0.001" : fmt::format("{:.3f}", *p);
}

constexpr std::array<ComparedColumn, 11> columns{{
    {"activity",
     "What was done. \"All sessions\": each session with the same weight. \"Activities alike\": the "
     "mean of the activities' means, whatever the number of their sessions."},
    {"sessions", "Shared sessions where the two are paired, else those of a and of b."},
    {"a", "Mean of the session values of a; on shared seconds where paired."},
    {"b", "Mean of the session values of b; on shared seconds where paired."},
    {"a \u2212 b", "Mean difference of session values."},
    {"95 % interval",
     "t over paired sessions on k \u2212 1 degrees of freedom; over different sessions "
     "Welch's, with Satterthwaite's degrees of freedom (Biometrics Bulletin 1946;2:110)."},
    {"p", "Two-sided p of the t test behind the interval."},
    {"p, signs",
     "Share of all 2^k signs of the paired differences whose mean is as far from zero. With k "
     "sessions it can reach no lower than 2 / 2^k."},
    {"p, Holm",
     "The p by signs (of the t test where unpaired), adjusted for all activities and pairs that are "
     "compared by this metric (Holm, Scand J Stat 1979;6:65)."},
    {"equivalent",
     "Whether the 90 % interval of the difference lies inside the margin set (two one-sided "
     "tests). It concerns the mean alone: single errors can be far larger."},
    {"method", "How the interval was made, or why there is none."},
}};

}  // namespace

std::vector<std::string> comparisonSummary(std::span<const DeviceComparison> comparisons) {
    if (comparisons.empty()) return {};
    const auto all = std::ranges::find_if(comparisons, &DeviceComparison::bySession);
    const auto& main = all == comparisons.end() ? comparisons.front() : *all;
    std::vector<std::string> sentences{mainSentence(main)};
    if (all != comparisons.end()) sentences.push_back(activitiesSentence(comparisons));
    if (metricOf(main, headline).equivalence) sentences.push_back(marginSentence(main));
    if (!main.paired)
        sentences.emplace_back(
            "These are different sessions: the mix of activities, weather and fitness cannot be told from "
            "the devices.");
    return sentences;
}

std::span<const ComparedColumn> comparedColumns() {
    return columns;
}

std::vector<std::string> comparedRow(const DeviceComparison& comparison, std::string_view metric) {
    const auto& found = metricOf(comparison, metric);
    const auto decimals = 2;
    return {comparison.allActivities ? (comparison.bySession ? "all sessions" : "activities alike")
                                     : activityName(comparison),
            comparison.paired ? std::to_string(comparison.sessions)
                              : fmt::format("{} | {}", comparison.sessionsA, comparison.sessionsB),
            figureNumber(found.a, decimals),
            figureNumber(found.b, decimals),
            cell(found.difference, decimals),
            found.ci95 ? fmt::format("{} to {}", signedNumber(found.ci95->lower, decimals),
                                     signedNumber(found.ci95->upper, decimals))
                       : "\u2014",
            pText(found.p),
            pText(found.signFlipP),
            pText(found.holmP),
            !found.equivalence              ? "\u2014"
            : found.equivalence->equivalent ? "yes"
                                            : "not shown",
            found.method};
}

}  // namespace beatwitness::report
