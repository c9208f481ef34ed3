// How well alignment does over many generated pairs whose estimand is known by brute force.
//
//   alignment_study [FIRST-SEED [COUNT [LONGEST-S [HARD]]]]
//
// Prints one table; no pass or fail. Seeds below 400000 were looked at while tuning; quote figures from
// above.

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <map>
#include <vector>

#include "core/analysis/session_analysis.h"
#include "tests/support/generator.h"
#include "tests/support/generator_estimand.h"

using namespace beatwitness;

namespace {

alignment::Alignment estimated(const tests::GeneratedPair& pair, double& milliseconds) {
    const auto reference = trace::laidOn<ReferenceClock>(trace::traceOf(pair.reference), Micros{0});
    const auto test = trace::laidOn<TestClock>(trace::traceOf(pair.test), Micros{0});
    const auto begin = std::chrono::steady_clock::now();
    auto alignment =
        alignment::estimateAlignment(reference, test, alignment::ClockKnowledge::Dated, {}, {}, {});
    milliseconds =
        std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin).count();
    return *alignment;
}

double quantile(std::vector<double> values, double p) {
    if (values.empty()) return std::nan("");
    std::ranges::sort(values);
    return values[static_cast<std::size_t>(p * static_cast<double>(values.size() - 1))];
}

double share(const std::vector<double>& values, double limit) {
    return 100.0 * static_cast<double>(std::ranges::count_if(values, [=](double v) { return v <= limit; })) /
           std::max<double>(1, static_cast<double>(values.size()));
}

void study(std::uint64_t first, std::uint64_t count, const tests::PlanLimits& limits) {
    std::vector<double> errors, halfWidths, times, drifts;
    int identifiable = 0, refused = 0, covered = 0, kept = 0;
    std::map<std::string, int> reasons;
    for (std::uint64_t seed = first; seed < first + count; ++seed) {
        const auto pair = tests::generatePair(tests::randomPlan(seed, limits));
        const auto estimand = tests::estimandOf(pair);
        double milliseconds = 0;
        const auto found = estimated(pair, milliseconds);
        times.push_back(milliseconds);
        if (!estimand || estimand->atEdge || !tests::whyNotIdentifiable(pair).empty()) {
            kept += found.applied();
            continue;
        }
        ++identifiable;
        if (!found.applied()) {
            ++refused;
            fmt::print("seed {} refused (true {:.2f}): {}\n", seed, estimand->offset_s,
                       *found.refusedBecause);
            continue;
        }
        const double error = found.correction->offset.value - estimand->offset_s;
        errors.push_back(std::abs(error));
        const auto& interval = *found.offsetInterval_s;
        halfWidths.push_back((interval.upper - interval.lower) / 2);
        const bool inside = interval.lower <= estimand->offset_s && estimand->offset_s <= interval.upper;
        covered += inside;
        drifts.push_back(std::abs(found.correction->drift.value - estimand->drift_ppm));
        if (std::abs(error) > 0.5 || !inside)
            fmt::print(
                "seed {} error {:+.2f} s, half-width {:.2f} s{}, drift {:+.1f} of {:+.1f} ppm, activity {}, "
                "{:.0f} s, faults {}\n",
                seed, error, halfWidths.back(), inside ? "" : ", outside", found.correction->drift.value,
                estimand->drift_ppm, static_cast<int>(pair.truth.activity),
                static_cast<double>(pair.truth.rate_bpm.size()), pair.truth.faults.size());
    }
    fmt::print("\npairs {}, identifiable {}, not identifiable but aligned {}\n", count, identifiable, kept);
    fmt::print("within 0.5 s {:.1f} %, within 1 s {:.1f} %, median error {:.2f} s, worst {:.2f} s\n",
               share(errors, 0.5), share(errors, 1.0), quantile(errors, 0.5), quantile(errors, 1.0));
    fmt::print("interval covers {:.1f} %, median half-width {:.2f} s\n",
               100.0 * covered / std::max<double>(1, double(errors.size())), quantile(halfWidths, 0.5));
    fmt::print("refused wrongly {:.1f} %, drift error median {:.1f} ppm, 95th {:.1f} ppm\n",
               100.0 * refused / std::max(1, identifiable), quantile(drifts, 0.5), quantile(drifts, 0.95));
    fmt::print("time median {:.1f} ms, worst {:.1f} ms\n", quantile(times, 0.5), quantile(times, 1.0));
}

void hardCases(std::uint64_t first, std::uint64_t count) {
    using tests::HardCase;
    const std::vector<std::pair<HardCase, const char*>> cases{
        {HardCase::Unrelated, "unrelated"},        {HardCase::FlatRest, "flat rest"},
        {HardCase::StraightRamp, "straight ramp"}, {HardCase::NoOverlap, "no overlap"},
        {HardCase::ShortOverlap, "short overlap"}, {HardCase::RegularIntervals, "regular intervals"}};
    for (const auto& [kind, name] : cases) {
        int refused = 0, right = 0;
        std::map<std::string, int> reasons;
        for (std::uint64_t seed = first; seed < first + count; ++seed) {
            const auto pair = tests::generatePair(tests::hardPlan(kind, seed));
            double milliseconds = 0;
            const auto found = estimated(pair, milliseconds);
            if (!found.applied()) {
                ++refused;
                ++reasons[found.refusedBecause->substr(0, 60)];
            } else if (std::abs(found.correction->offset.value - pair.truth.nominalOffset_s) < 4) {
                ++right;
            }
        }
        fmt::print("{:<18} {} pairs: refused {}, right {}, wrong {}\n", name, count, refused, right,
                   count - refused - right);
        for (const auto& [reason, times] : reasons)
            fmt::print("    {:>4} x {}\n", times, reason);
    }
}

}  // namespace

int main(int argc, char** argv) {
    const auto word = [&](int i, double otherwise) { return argc > i ? std::atof(argv[i]) : otherwise; };
    const auto first = static_cast<std::uint64_t>(word(1, 1)),
               count = static_cast<std::uint64_t>(word(2, 200));
    tests::PlanLimits limits;
    limits.longest_s = word(3, 5400);
    if (limits.longest_s > 7200) limits.largestDrift_ppm = 60;
    study(first, count, limits);
    if (argc > 4) hardCases(first, count / 4 + 1);
}
