// How well alignment does over many generated pairs whose estimand is known by brute force.
//
//   alignment_study [FIRST-SEED [COUNT [LONGEST-S]]] [WORD …]
//
// Prints tables; no pass or fail. WORD: `each` names every pair that went wrong, `hours` lets clocks be whole
// and half hours off, `hard` adds pairs that must be refused, `strained` pairs of kinds that the generator's
// own draw does not make. Seeds below 400000 were looked at while tuning; quote figures from above.

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "core/analysis/session_analysis.h"
#include "tests/benchmarks/alignment_study_plans.h"
#include "tests/support/generator.h"
#include "tests/support/generator_estimand.h"

using namespace beatwitness;

namespace {

/// What became of one pair.
struct Outcome {
    tests::PairPlan plan;
    bool identifiable = false;
    std::optional<std::string> refusedBecause;
    double error_s = 0.0;      ///< magnitude
    double halfWidth_s = 0.0;  ///< of the 95 % interval
    bool covered = false;
    std::optional<double> driftError_ppm;  ///< magnitude; where the session is long enough for one
    double milliseconds = 0.0;

    [[nodiscard]] double length_s() const { return plan.reference.duration_s; }
    [[nodiscard]] bool applied() const { return !refusedBecause; }
};

using Outcomes = std::vector<Outcome>;

alignment::Alignment estimated(const tests::GeneratedPair& pair, alignment::ClockKnowledge knowledge,
                               double& milliseconds) {
    const auto reference = trace::laidOn<ReferenceClock>(trace::traceOf(pair.reference), Micros{0});
    auto test = trace::laidOn<TestClock>(trace::traceOf(pair.test), Micros{0});
    const auto begin = std::chrono::steady_clock::now();
    auto alignment = alignment::estimateAlignment(reference, test, knowledge, {}, {}, {});
    milliseconds =
        std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin).count();
    return *alignment;
}

Outcome outcomeOf(const tests::PairPlan& plan, alignment::ClockKnowledge knowledge, bool namesEach) {
    const auto pair = tests::generatePair(plan);
    const auto estimand = tests::estimandOf(pair);
    Outcome outcome;
    outcome.plan = plan;
    const auto found = estimated(pair, knowledge, outcome.milliseconds);
    outcome.refusedBecause = found.refusedBecause;
    outcome.identifiable = estimand && !estimand->atEdge && tests::whyNotIdentifiable(pair).empty();
    if (!outcome.identifiable) return outcome;
    const auto say = [&](const std::string& what) {
        if (namesEach)
            fmt::print("seed {} ({}, {:.0f} s, {} faults, true {:+.2f} s): {}\n", plan.seed,
                       tests::activityName(plan.activity.activity), outcome.length_s(), plan.faults.size(),
                       estimand->offset_s, what);
    };
    if (!found.applied()) {
        say("refused. " + *found.refusedBecause);
        return outcome;
    }
    const double error_s = found.correction->offset.value - estimand->offset_s;
    const auto& interval = *found.offsetInterval_s;
    outcome.error_s = std::abs(error_s);
    outcome.halfWidth_s = (interval.upper - interval.lower) / 2;
    outcome.covered = interval.lower <= estimand->offset_s && estimand->offset_s <= interval.upper;
    const double drift_ppm = found.correction->drift.value - estimand->drift_ppm;
    if (outcome.length_s() > 7200) outcome.driftError_ppm = std::abs(drift_ppm);
    if (outcome.error_s > 0.5 || !outcome.covered || std::abs(drift_ppm) > 5)
        say(fmt::format("off by {:+.2f} s, half-width {:.2f} s{}, drift off by {:+.1f} ppm", error_s,
                        outcome.halfWidth_s, outcome.covered ? "" : " (misses)", drift_ppm));
    return outcome;
}

double quantile(std::vector<double> values, double p) {
    if (values.empty()) return std::nan("");
    std::ranges::sort(values);
    return values[static_cast<std::size_t>(p * static_cast<double>(values.size() - 1))];
}

double percent(std::ptrdiff_t part, std::size_t whole) {
    return whole == 0 ? std::nan("") : 100.0 * static_cast<double>(part) / static_cast<double>(whole);
}

template <class Value>
std::vector<double> collected(const Outcomes& outcomes, Value&& value) {
    std::vector<double> values;
    for (const auto& outcome : outcomes)
        values.push_back(value(outcome));
    return values;
}

void printHead(const char* title) {
    fmt::print(
        "\n| {} | pairs | refused % | within 0.5 s % | within 1 s % | median s | p95 s | worst s | "
        "covered % | half-width s |\n|---|---|---|---|---|---|---|---|---|---|\n",
        title);
}

/// Of the identifiable pairs alone.
void printRow(const std::string& name, const Outcomes& outcomes) {
    Outcomes applied;
    std::ranges::copy_if(outcomes, std::back_inserter(applied), &Outcome::applied);
    const auto errors = collected(applied, [](const Outcome& o) { return o.error_s; });
    const auto within = [&](double limit_s) {
        return percent(std::ranges::count_if(errors, [&](double e) { return e <= limit_s; }), errors.size());
    };
    fmt::print("| {} | {} | {:.1f} | {:.1f} | {:.1f} | {:.2f} | {:.2f} | {:.1f} | {:.1f} | {:.2f} |\n", name,
               outcomes.size(), percent(std::ssize(outcomes) - std::ssize(applied), outcomes.size()),
               within(0.5), within(1.0), quantile(errors, 0.5), quantile(errors, 0.95), quantile(errors, 1.0),
               percent(std::ranges::count(applied, true, &Outcome::covered), applied.size()),
               quantile(collected(applied, [](const Outcome& o) { return o.halfWidth_s; }), 0.5));
}

void printBreakdown(const char* title, const Outcomes& outcomes,
                    const std::function<std::string(const Outcome&)>& groupOf) {
    std::map<std::string, Outcomes> groups;
    for (const auto& outcome : outcomes)
        groups[groupOf(outcome)].push_back(outcome);
    printHead(title);
    for (const auto& [name, group] : groups)
        printRow(name, group);
}

std::string lengthGroup(const Outcome& outcome) {
    const double minutes = outcome.length_s() / 60;
    if (minutes < 20) return "15 to 20 min";
    if (minutes < 40) return "20 to 40 min";
    if (minutes < 60) return "40 to 60 min";
    if (minutes < 120) return "60 to 120 min";
    return minutes < 720 ? "over 2 h" : "over 12 h";
}

std::string samplingGroup(const tests::SamplingPlan& sampling) {
    switch (sampling.style) {
        case tests::SamplingStyle::Regular:
            return fmt::format("every {:.0f} s", sampling.interval_s);
        case tests::SamplingStyle::Irregular:
            return "irregular, up to 9 s";
        case tests::SamplingStyle::OnChange:
            return "on change";
        case tests::SamplingStyle::Beats:
            break;
    }
    return "beats";
}

std::string clockGroup(const Outcome& outcome) {
    return std::abs(outcome.plan.test.clockOffset_s) > 1000 ? "whole or half hours off" : "near";
}

void printDrift(const Outcomes& outcomes, double from_s, const char* name) {
    std::vector<double> drifts;
    for (const auto& outcome : outcomes)
        if (outcome.applied() && outcome.driftError_ppm && outcome.length_s() >= from_s)
            drifts.push_back(*outcome.driftError_ppm);
    if (drifts.empty()) return;
    const auto small = std::ranges::count_if(drifts, [](double ppm) { return ppm <= 5; });
    fmt::print("drift, {} ({} pairs): median error {:.1f} ppm, p95 {:.1f} ppm, within 5 ppm {:.1f} %\n", name,
               drifts.size(), quantile(drifts, 0.5), quantile(drifts, 0.95), percent(small, drifts.size()));
}

void study(std::uint64_t first, std::uint64_t count, const tests::PlanLimits& limits, bool namesEach) {
    Outcomes outcomes;
    std::vector<double> times;
    int kept = 0;
    for (std::uint64_t seed = first; seed < first + count; ++seed) {
        auto outcome =
            outcomeOf(tests::randomPlan(seed, limits), alignment::ClockKnowledge::Dated, namesEach);
        times.push_back(outcome.milliseconds);
        if (outcome.identifiable)
            outcomes.push_back(std::move(outcome));
        else
            kept += outcome.applied();
    }
    printHead("all");
    printRow("all", outcomes);
    printBreakdown("length", outcomes, lengthGroup);
    printBreakdown("test's sampling", outcomes,
                   [](const Outcome& o) { return samplingGroup(o.plan.test.sampling); });
    printBreakdown("reference's sampling", outcomes,
                   [](const Outcome& o) { return samplingGroup(o.plan.reference.sampling); });
    printBreakdown("activity", outcomes, [](const Outcome& o) {
        return std::string{tests::activityName(o.plan.activity.activity)};
    });
    if (limits.wholeHours) printBreakdown("clock", outcomes, clockGroup);
    fmt::print("\n{} pairs, {} identifiable; of the others {} were aligned\n", count, outcomes.size(), kept);
    printDrift(outcomes, 7200, "2 h and longer");
    printDrift(outcomes, 43200, "12 h and longer");
    fmt::print("time median {:.1f} ms, worst {:.1f} ms\n", quantile(times, 0.5), quantile(times, 1.0));
}

void strained(std::uint64_t first, std::uint64_t count, bool namesEach) {
    std::map<std::string, Outcomes> kinds;
    for (const auto& strain : tests::strains()) {
        Outcomes identifiable;
        for (std::uint64_t seed = first; seed < first + count; ++seed) {
            const auto outcome = outcomeOf(strain.plan(seed), strain.knowledge, namesEach);
            if (outcome.identifiable) identifiable.push_back(outcome);
        }
        if (namesEach) fmt::print("-- {}\n", strain.name);
        kinds[strain.name] = std::move(identifiable);
    }
    printHead("kind");
    for (const auto& strain : tests::strains())
        printRow(strain.name, kinds[strain.name]);
}

/// A sentence without its numbers.
std::string gist(const std::string& sentence) {
    std::string text;
    for (const char c : sentence)
        if (!std::isdigit(static_cast<unsigned char>(c))) text += c;
    return text.substr(0, 60);
}

void hardCases(std::uint64_t first, std::uint64_t count, bool namesEach) {
    using tests::HardCase;
    const std::vector<std::pair<HardCase, const char*>> cases{
        {HardCase::Unrelated, "unrelated"},        {HardCase::FlatRest, "flat rest"},
        {HardCase::StraightRamp, "straight ramp"}, {HardCase::NoOverlap, "no overlap"},
        {HardCase::ShortOverlap, "short overlap"}, {HardCase::RegularIntervals, "regular intervals"}};
    fmt::print(
        "\n| must be refused | pairs | refused | aligned rightly | aligned wrongly "
        "|\n|---|---|---|---|---|\n");
    std::string reasonsText;
    for (const auto& [kind, name] : cases) {
        std::uint64_t refused = 0, right = 0;
        std::map<std::string, int> reasons;
        for (std::uint64_t seed = first; seed < first + count; ++seed) {
            const auto pair = tests::generatePair(tests::hardPlan(kind, seed));
            double milliseconds = 0;
            const auto found = estimated(pair, alignment::ClockKnowledge::Dated, milliseconds);
            if (!found.applied()) {
                ++refused;
                ++reasons[gist(*found.refusedBecause)];
                continue;
            }
            const double error_s = found.correction->offset.value - pair.truth.nominalOffset_s;
            right += pair.truth.related && std::abs(error_s) < 4;
            if (namesEach)
                reasonsText += fmt::format("{} seed {} aligned at {:+.1f} s, {:+.1f} s from the truth\n",
                                           name, seed, found.correction->offset.value, error_s);
        }
        fmt::print("| {} | {} | {} | {} | {} |\n", name, count, refused, right, count - refused - right);
        for (const auto& [reason, times] : reasons)
            reasonsText += fmt::format("{}: {} x {}\n", name, times, reason);
    }
    fmt::print("\n{}", reasonsText);
}

}  // namespace

int main(int argc, char** argv) {
    std::vector<double> numbers;
    std::set<std::string> words;
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        if (std::isdigit(static_cast<unsigned char>(word[0])))
            numbers.push_back(std::atof(argv[i]));
        else
            words.insert(word);
    }
    const auto number = [&](std::size_t i, double otherwise) {
        return numbers.size() > i ? numbers[i] : otherwise;
    };
    const auto first = static_cast<std::uint64_t>(number(0, 1));
    const auto count = static_cast<std::uint64_t>(number(1, 200));
    tests::PlanLimits limits;
    limits.longest_s = number(2, 5400);
    limits.wholeHours = words.contains("hours");
    if (limits.longest_s > 7200) limits.largestDrift_ppm = 60;
    study(first, count, limits, words.contains("each"));
    if (words.contains("hard")) hardCases(first, count / 4 + 1, words.contains("each"));
    if (words.contains("strained")) strained(first, count / 10 + 1, words.contains("each"));
}
