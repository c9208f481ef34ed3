// How well flags do over many generated pairs with known truth, after our own alignment.
//
//   flag_study [FIRST-SEED [COUNT [LONGEST-S [WORDY]]]]
//
// Prints tables; no pass or fail. Seeds below 400000 were looked at while tuning; quote figures from above.
// WORDY names, for every session, what was missed and what was made up.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <set>
#include <vector>

#include "core/analysis/session_analysis.h"
#include "tests/support/generator.h"
#include "tests/support/generator_estimand.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;
using flags::Flag;
using flags::FlagKind;
using tests::FaultOn;
using tests::TrueFault;

namespace {

/// Seconds and events of one kind, told against the truth.
struct Score {
    double hit = 0, missed = 0, invented = 0;
    int events = 0, eventsHit = 0, flags = 0, flagsRight = 0;

    [[nodiscard]] double precision() const { return hit / std::max(hit + invented, 1.0); }
    [[nodiscard]] double recall() const { return hit / std::max(hit + missed, 1.0); }
    [[nodiscard]] double f1() const { return 2 * hit / std::max(2 * hit + missed + invented, 1.0); }
    [[nodiscard]] double eventF1() const {
        return 2.0 * eventsHit /
               std::max(eventsHit + flagsRight + (events - eventsHit) + (flags - flagsRight), 1);
    }
};

struct Outcome {
    std::array<Score, flags::allFlagKinds.size()> kinds;
    int referenceEvents = 0, referenceFound = 0;
    double falseReferenceSeconds = 0, falseSeconds = 0, hours = 0;
    std::vector<double> offsetErrors;
    int refused = 0, sessions = 0;
};

using Seconds1 = std::set<std::int64_t>;

void addSeconds(Seconds1& seconds, double begin, double end, double last) {
    for (double t = std::max(std::ceil(begin), 0.0); t <= std::min(end, last); ++t)
        seconds.insert(static_cast<std::int64_t>(t));
}

bool overlaps(const Flag& flag, const TrueFault& fault, double slack_s) {
    return secondsOf(flag.span.begin) <= fault.end_s + slack_s &&
           secondsOf(flag.span.end) >= fault.start_s - slack_s;
}

std::string_view kindName(const TrueFault& fault) {
    return tests::contractKind(fault.plan.kind);
}

analysis::SessionAnalysis analysed(const tests::GeneratedPair& pair) {
    std::vector<recording::RecordingFile> tests;
    tests.push_back(tests::fileOf(pair.test));
    return *analysis::analyseSession(tests::fileOf(pair.reference, "reference.csv"), std::move(tests), {});
}

/// Whether the seconds from `begin` to `end` hold no sample of the recording, by the clock as it was applied:
/// a gap that came of samples lost one by one is a gap too.
bool isGap(const tests::GeneratedPair& pair, const Flag& flag) {
    const auto& truth = pair.truth;
    const auto& times = pair.test.channels.front().times;
    const double t0_us =
        static_cast<double>(pair.reference.channels.front().times.front().time_since_epoch().count());
    const auto inside = [&](RecordingTime time) {
        const double uncorrected_s = (static_cast<double>(time.time_since_epoch().count()) - t0_us) * 1e-6;
        const double session_s = (uncorrected_s + truth.nominalOffset_s) * (1 + truth.clockDrift_ppm * 1e-6);
        return secondsOf(flag.span.begin) + 1.5 < session_s && session_s < secondsOf(flag.span.end) - 1.5;
    };
    return std::ranges::none_of(times, inside);
}

/// Whether any sample shows the fault: a jump between two samples of a device leaves no trace.
bool isSampled(const tests::GeneratedPair& pair, const TrueFault& fault) {
    Flag flag;
    flag.span = {sessionTime(fault.start_s - 1.5), sessionTime(fault.end_s + 1.5)};
    return !isGap(pair, flag);
}

void scoreKind(FlagKind kind, const tests::GeneratedPair& pair, const std::vector<Flag>& flags, double last,
               Score& score) {
    Seconds1 truth, found, excluded;
    for (const auto& flag : flags)
        if (flag.on == flags::FlaggedTrace::Reference && flag.excluded)
            addSeconds(excluded, secondsOf(flag.span.begin), secondsOf(flag.span.end), last);
    for (const auto& fault : pair.truth.faults) {
        if (fault.plan.on != FaultOn::Test || kindName(fault) != flags::flagKindName(kind)) continue;
        if (kind == FlagKind::Spike && !isSampled(pair, fault)) continue;
        addSeconds(truth, fault.start_s, fault.end_s, last);
        ++score.events;
        score.eventsHit += std::ranges::any_of(flags, [&](const Flag& flag) {
            return flag.on == flags::FlaggedTrace::Test && flag.kind == kind && overlaps(flag, fault, 2);
        });
    }
    for (const auto& flag : flags) {
        if (flag.on != flags::FlaggedTrace::Test || flag.kind != kind) continue;
        const bool known = std::ranges::any_of(
            pair.truth.faults, [&](const TrueFault& fault) { return overlaps(flag, fault, 2); });
        if (kind == FlagKind::Dropout && !known && isGap(pair, flag)) continue;
        addSeconds(found, secondsOf(flag.span.begin), secondsOf(flag.span.end), last);
        ++score.flags;
        score.flagsRight += std::ranges::any_of(pair.truth.faults, [&](const TrueFault& fault) {
            return fault.plan.on == FaultOn::Test && kindName(fault) == flags::flagKindName(kind) &&
                   overlaps(flag, fault, 2);
        });
    }
    for (const auto t : truth)
        (found.contains(t) ? score.hit : score.missed) += 1;
    for (const auto t : found)
        score.invented += truth.contains(t) ? 0 : 1;
}

double interval(const recording::Recording& recording) {
    const auto& times = recording.channels.front().times;
    return toSeconds(times.back() - times.front()).value / static_cast<double>(times.size() - 1);
}

void explain(std::uint64_t seed, const tests::GeneratedPair& pair, const analysis::TestAnalysis& test) {
    fmt::print("seed {} {} {} s, sampling {:.1f}/{:.1f}\n", seed, tests::activityName(pair.truth.activity),
               pair.truth.rate_bpm.size(), interval(pair.reference), interval(pair.test));
    for (const auto& fault : pair.truth.faults)
        fmt::print("    true {:<12} {} {:.0f}-{:.0f} ({:.2f})\n", kindName(fault),
                   fault.plan.on == FaultOn::Test ? "test" : "ref ", fault.start_s, fault.end_s,
                   fault.magnitude);
    for (const auto& flag : test.flags)
        fmt::print("    flag {:<12} {} {:.0f}-{:.0f} ({:.2f}, {:.2f}) {}\n", flags::flagKindName(flag.kind),
                   flag.on == flags::FlaggedTrace::Test ? "test" : "ref ", secondsOf(flag.span.begin),
                   secondsOf(flag.span.end), flag.magnitude, flag.confidence, flag.because);
}

void scoreReference(const tests::GeneratedPair& pair, const std::vector<Flag>& flags, double last,
                    Outcome& outcome) {
    Seconds1 truth;
    for (const auto& fault : pair.truth.faults) {
        if (fault.plan.on != FaultOn::Reference) continue;
        addSeconds(truth, fault.plan.start_s - 2, fault.plan.end_s + 2, last);
        addSeconds(truth, fault.start_s - 2, fault.end_s + 2, last);
        ++outcome.referenceEvents;
        double covered = 0;
        for (const auto& flag : flags)
            if (flag.on == flags::FlaggedTrace::Reference)
                covered += std::max(0.0, std::min(secondsOf(flag.span.end), fault.end_s) -
                                             std::max(secondsOf(flag.span.begin), fault.start_s) + 1);
        outcome.referenceFound += covered >= 0.5 * (fault.end_s - fault.start_s + 1);
    }
    for (const auto& flag : flags) {
        if (flag.on != flags::FlaggedTrace::Reference) continue;
        Seconds1 found;
        addSeconds(found, secondsOf(flag.span.begin), secondsOf(flag.span.end), last);
        for (const auto t : found)
            outcome.falseReferenceSeconds += truth.contains(t) ? 0 : 1;
    }
}

/// Scores one pair; false where nothing could be known of its clock.
void score(std::uint64_t seed, const tests::GeneratedPair& pair, bool wordy, Outcome& outcome) {
    const auto session = analysed(pair);
    const auto& test = session.tests.front();
    const double last = static_cast<double>(pair.truth.rate_bpm.size()) - 1;
    ++outcome.sessions;
    outcome.hours += last / 3600;
    outcome.refused += !test.aligned;
    if (test.aligned)
        if (const auto estimand = tests::estimandOf(pair))
            outcome.offsetErrors.push_back(
                std::abs(test.alignment.correction->offset.value - estimand->offset_s));
    double wrong = 0;
    for (const auto kind : flags::allFlagKinds) {
        auto& sum = outcome.kinds[static_cast<std::size_t>(kind)];
        const auto before = sum;
        scoreKind(kind, pair, test.flags, last, sum);
        const double made = sum.invented - before.invented;
        outcome.falseSeconds += made;
        wrong += made + sum.missed - before.missed;
    }
    const auto falseBefore = outcome.falseReferenceSeconds;
    const auto foundBefore = outcome.referenceEvents - outcome.referenceFound;
    scoreReference(pair, test.flags, last, outcome);
    wrong += outcome.falseReferenceSeconds - falseBefore +
             30 * (outcome.referenceEvents - outcome.referenceFound - foundBefore);
    if (wordy && (wrong > 8 || !test.aligned)) explain(seed, pair, test);
}

double quantile(std::vector<double> values, double p) {
    if (values.empty()) return 0.0;
    std::ranges::sort(values);
    return values[static_cast<std::size_t>(p * static_cast<double>(values.size() - 1))];
}

void printKinds(const Outcome& outcome) {
    fmt::print("{:<13}{:>8}{:>8}{:>8}{:>8}{:>10}{:>10}\n", "kind", "events", "F1", "prec", "recall",
               "ev.recall", "ev.F1");
    for (const auto kind : flags::allFlagKinds) {
        const auto& sum = outcome.kinds[static_cast<std::size_t>(kind)];
        fmt::print("{:<13}{:>8}{:>8.3f}{:>8.3f}{:>8.3f}{:>10.3f}{:>10.3f}\n", flags::flagKindName(kind),
                   sum.events, sum.f1(), sum.precision(), sum.recall(),
                   sum.eventsHit / std::max(1.0, 1.0 * sum.events), sum.eventF1());
    }
    fmt::print("reference faults found {} of {} ({:.1f} %), false reference seconds an hour {:.2f}\n",
               outcome.referenceFound, outcome.referenceEvents,
               100.0 * outcome.referenceFound / std::max(outcome.referenceEvents, 1),
               outcome.falseReferenceSeconds / outcome.hours);
    fmt::print("sessions {}, refused {}, offset error median {:.2f} s, 95th {:.2f} s, worst {:.2f} s\n\n",
               outcome.sessions, outcome.refused, quantile(outcome.offsetErrors, 0.5),
               quantile(outcome.offsetErrors, 0.95), quantile(outcome.offsetErrors, 1.0));
}

/// A device without faults in a session that invites mistakes.
struct HardNegative {
    const char* name;
    void (*change)(tests::PairPlan&);
    bool referenceFaults = false;
};

tests::PairPlan plainPlan(std::uint64_t seed, double longest_s, const HardNegative& hard) {
    tests::PlanLimits limits{.shortest_s = 1800, .longest_s = longest_s, .mostFaults = 0};
    limits.referenceFaults = hard.referenceFaults;
    auto plan = tests::randomPlan(seed, limits);
    hard.change(plan);
    return plan;
}

const std::array hardNegatives{
    HardNegative{"no faults", [](tests::PairPlan&) {}},
    HardNegative{"fast recovery",
                 [](tests::PairPlan& plan) {
                     plan.activity.kinetics.offTau_s = 22;
                     plan.activity.kinetics.onTau_s = 15;
                     plan.activity.kinetics.fastShare = 0.3;
                 }},
    HardNegative{"cadence = rate",
                 [](tests::PairPlan& plan) {
                     plan.cadence = tests::CadencePlace::Reference;
                     plan.storesStrides = false;
                     for (auto& phase : plan.activity.phases)
                         phase.cadence_per_min = phase.endTarget_bpm;
                 }},
    HardNegative{"coarse sampling",
                 [](tests::PairPlan& plan) {
                     plan.test.sampling.style = tests::SamplingStyle::Regular;
                     plan.test.sampling.interval_s = 5.0 + static_cast<double>(plan.seed % 6);
                     plan.test.sampling.lossShare = 0;
                 }},
    HardNegative{"low rest",
                 [](tests::PairPlan& plan) {
                     for (auto& phase : plan.activity.phases) {
                         phase.target_bpm -= plan.activity.resting_bpm - 40;
                         phase.endTarget_bpm -= plan.activity.resting_bpm - 40;
                     }
                     plan.activity.peak_bpm -= plan.activity.resting_bpm - 40;
                     plan.activity.initial_bpm -= plan.activity.resting_bpm - 40;
                     plan.activity.resting_bpm = 40;
                 }},
    HardNegative{"steady",
                 [](tests::PairPlan& plan) {
                     for (auto& phase : plan.activity.phases)
                         if (phase.start_s > 600) phase.target_bpm = phase.endTarget_bpm = 138;
                     plan.activity.fluctuation = {0.2, 0.5, 0.0, 0.2};
                     plan.reference.noise_bpm = 0.1;
                     plan.test.clockOffset_s = 0;  // too flat to be aligned: as recorded it must be right
                 }},
    HardNegative{"reference faults", [](tests::PairPlan&) {}, true}};

void negatives(std::uint64_t first, std::uint64_t count, double longest_s, bool wordy) {
    fmt::print("{:<18}{:>9}{:>14}{:>14}  by kind\n", "without faults", "hours", "false s/h", "false ref s/h");
    for (const auto& hard : hardNegatives) {
        Outcome outcome;
        for (std::uint64_t seed = first; seed < first + count; ++seed)
            score(seed, tests::generatePair(plainPlan(seed, longest_s, hard)), wordy, outcome);
        fmt::print("{:<18}{:>9.1f}{:>14.2f}{:>14.2f} ", hard.name, outcome.hours,
                   outcome.falseSeconds / outcome.hours, outcome.falseReferenceSeconds / outcome.hours);
        for (const auto kind : flags::allFlagKinds)
            if (const auto& sum = outcome.kinds[static_cast<std::size_t>(kind)]; sum.invented > 0)
                fmt::print(" {} {:.0f} s", flags::flagKindName(kind), sum.invented);
        fmt::print("\n");
    }
}

}  // namespace

int main(int argc, char** argv) {
    const auto word = [&](int i, double otherwise) { return argc > i ? std::atof(argv[i]) : otherwise; };
    const auto first = static_cast<std::uint64_t>(word(1, 1)),
               count = static_cast<std::uint64_t>(word(2, 200));
    tests::PlanLimits limits;
    limits.longest_s = word(3, 5400);
    const bool wordy = argc > 4;
    Outcome outcome;
    for (std::uint64_t seed = first; seed < first + count; ++seed) {
        const auto pair = tests::generatePair(tests::randomPlan(seed, limits));
        if (tests::whyNotIdentifiable(pair).empty()) score(seed, pair, wordy, outcome);
    }
    printKinds(outcome);
    negatives(first, count / 4 + 1, limits.longest_s, wordy);
}
