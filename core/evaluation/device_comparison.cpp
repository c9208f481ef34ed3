#include "core/evaluation/device_comparison.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "core/evaluation/members.h"

namespace beatwitness::evaluation {
namespace {

using agreement::Metric;
using agreement::PairedSeconds;
using agreement::SessionSums;
using agreement::Stratum;

constexpr std::string_view absoluteBias = "abs_bias_bpm";

/// One session of one device or of both: sums on its own seconds and on shared ones.
struct SessionPair {
    std::string activity;
    SessionSums ownA, ownB;
    SessionSums sharedA, sharedB;
};
using Sessions = std::map<std::int64_t, SessionPair>;

/// Seconds of `of` in which `other` is paired too.
PairedSeconds sharedWith(const PairedSeconds& of, const PairedSeconds& other) {
    std::size_t j = 0;
    return agreement::filtered(of, [&](std::size_t i) {
        while (j < other.size() && other.seconds[j] < of.seconds[i])
            ++j;
        return of.paired[i] != 0 && j < other.size() && other.seconds[j] == of.seconds[i] &&
               other.paired[j] != 0;
    });
}

/// First wearing of the device in each session, as asked (phases, epochs), without copies of evidence.
std::map<std::int64_t, const Member*> firstBySession(const std::vector<LabelledMembers>& groups,
                                                     const std::string& device) {
    std::map<std::int64_t, const Member*> members;
    for (const auto& group : groups)
        for (const auto& member : group.members)
            if (member.evidence->device == device) members.emplace(member.evidence->session, &member);
    return members;
}

Sessions sessionsOf(const std::map<std::int64_t, const Member*>& ofA,
                    const std::map<std::int64_t, const Member*>& ofB, Clock clock) {
    Sessions sessions;
    for (const auto& [number, member] : ofA) {
        auto& session = sessions[number];
        session.activity = member->evidence->activity;
        session.ownA = member->under(clock).summary.sums;
        const auto other = ofB.find(number);
        if (other == ofB.end()) continue;
        const auto &a = *member->under(clock).seconds, &b = *other->second->under(clock).seconds;
        session.sharedA = agreement::sumsOf(sharedWith(a, b));
        session.sharedB = agreement::sumsOf(sharedWith(b, a));
    }
    for (const auto& [number, member] : ofB) {
        sessions[number].activity = member->evidence->activity;
        sessions[number].ownB = member->under(clock).summary.sums;
    }
    return sessions;
}

std::optional<double> valueOf(std::string_view key, const SessionSums& sums) {
    if (key == absoluteBias) {
        const auto bias = agreement::biasOf(sums);
        return bias ? std::optional{std::abs(*bias)} : std::nullopt;
    }
    return agreement::valueOf(agreement::metricOfKey(key)->metric, sums);
}

std::vector<std::string_view> comparedKeys() {
    std::vector<std::string_view> keys;
    for (const auto& facts : agreement::metrics()) {
        keys.push_back(facts.key);
        if (facts.metric == Metric::Bias) keys.push_back(absoluteBias);
    }
    return keys;
}

/// Session values of one metric, by activity.
std::map<std::string, Stratum> strataOf(const Sessions& sessions, std::string_view key, bool paired) {
    std::map<std::string, Stratum> strata;
    for (const auto& [number, session] : sessions) {
        const auto a = valueOf(key, paired ? session.sharedA : session.ownA),
                   b = valueOf(key, paired ? session.sharedB : session.ownB);
        if (paired && (!a || !b)) continue;
        auto& stratum = strata[session.activity];
        if (a) stratum.a.push_back(*a);
        if (b) stratum.b.push_back(*b);
    }
    return strata;
}

std::optional<double> meanOf(const std::vector<double>& values) {
    if (values.empty()) return std::nullopt;
    return agreement::meanOfSessions(values).mean;
}

std::string few(std::size_t k) {
    return k < 5 ? "; very few sessions" : "";
}

void compareWithin(MetricDifference& found, const Stratum& all, bool paired, std::optional<double> margin,
                   std::uint64_t seed) {
    found.a = meanOf(all.a);
    found.b = meanOf(all.b);
    if (found.a && found.b) found.difference = *found.a - *found.b;
    if (!paired) {
        const auto welch = agreement::welch(all.a, all.b);
        if (!welch) {
            found.method = "no interval: two sessions that vary are needed of either device";
            return;
        }
        found.ci95 = welch->ci95;
        found.p = welch->p;
        found.method = fmt::format("Welch over different sessions, {:.1f} df{}", welch->df,
                                   few(std::min(all.a.size(), all.b.size())));
        return;
    }
    std::vector<double> differences;
    for (std::size_t i = 0; i < all.a.size(); ++i)
        differences.push_back(all.a[i] - all.b[i]);
    found.sessionDifferences = differences;
    const auto result = agreement::pairedDifference(differences);
    found.ci95 = result.ci95;
    found.p = result.p;
    if (const auto flip = agreement::signFlip(differences, seed)) {
        found.signFlipP = flip->p;
        found.method =
            fmt::format("t over paired sessions, {} df{}; sign flips {} (p can reach no lower than {:g})",
                        differences.size() - 1, few(differences.size()),
                        flip->exact ? "all tried" : fmt::format("drawn, seed {}", seed), flip->least);
    } else {
        found.method = "one session: no interval";
    }
    if (margin) found.equivalence = agreement::equivalence(differences, *margin);
}

/// Each activity with the same weight. Paired differences are a stratum against zeros.
void compareOver(MetricDifference& found, const std::map<std::string, Stratum>& strata, bool paired) {
    std::vector<Stratum> list;
    double a = 0, b = 0;
    for (const auto& [activity, stratum] : strata) {
        if (stratum.a.empty() || stratum.b.empty()) {
            found.method = "no difference: an activity has no session of one of the devices";
            return;
        }
        a += *meanOf(stratum.a) / static_cast<double>(strata.size());
        b += *meanOf(stratum.b) / static_cast<double>(strata.size());
        list.push_back(stratum);
        if (!paired) continue;
        for (std::size_t i = 0; i < stratum.a.size(); ++i) {
            list.back().a[i] -= stratum.b[i];
            list.back().b[i] = 0;
        }
    }
    found.a = a;
    found.b = b;
    found.difference = a - b;
    const auto result = agreement::stratifiedWelch(list);
    if (!result) {
        found.method = "no interval: two sessions of each activity are needed";
        return;
    }
    found.ci95 = result->ci95;
    found.p = result->p;
    found.method = fmt::format("t over {} sessions, {} activities with equal weights, {:.1f} df",
                               paired ? "paired" : "different", strata.size(), result->df);
}

OwnFigures ownFigures(const Sessions& sessions, SessionSums SessionPair::*own) {
    OwnFigures figures;
    SessionSums all;
    for (const auto& [number, session] : sessions) {
        figures.sessions += (session.*own).n > 0;
        all += session.*own;
    }
    figures.pairs = all.n;
    if (all.referenceSeconds > 0) figures.coverage_pct = 100 * all.n / all.referenceSeconds;
    figures.mae_bpm = agreement::valueOf(Metric::Mae, all);
    figures.bias_bpm = agreement::valueOf(Metric::Bias, all);
    return figures;
}

void addSpread(DeviceComparison& comparison, const Sessions& sessions) {
    std::vector<double> a, b;
    for (const auto& [number, session] : sessions)
        if (session.sharedA.n > 0) {
            a.push_back(*agreement::biasOf(session.sharedA));
            b.push_back(*agreement::biasOf(session.sharedB));
        }
    comparison.spread = agreement::compareSpread(a, b);
}

bool takesMargin(std::string_view key) {
    return key == "mae_bpm" || key == "bias_bpm" || key == "rmse_bpm" || key == absoluteBias;
}

/// All sessions as if they were of one activity.
Stratum together(const std::map<std::string, Stratum>& strata) {
    Stratum all;
    for (const auto& [activity, stratum] : strata) {
        all.a.insert(all.a.end(), stratum.a.begin(), stratum.a.end());
        all.b.insert(all.b.end(), stratum.b.begin(), stratum.b.end());
    }
    return all;
}

enum class Alike { Activity, Session };  ///< what counts with the same weight

DeviceComparison comparisonOf(const ComparedPair& pair, const std::optional<std::string>& activity,
                              Alike alike, Sessions sessions, Clock clock, std::optional<double> margin,
                              std::uint64_t seed) {
    DeviceComparison comparison;
    comparison.a = pair.a;
    comparison.b = pair.b;
    comparison.activity = activity.value_or("");
    comparison.allActivities = !activity;
    comparison.bySession = !activity && alike == Alike::Session;
    comparison.clock = clock;
    if (activity)
        std::erase_if(sessions, [&](const auto& entry) { return entry.second.activity != *activity; });
    comparison.ownA = ownFigures(sessions, &SessionPair::ownA);
    comparison.ownB = ownFigures(sessions, &SessionPair::ownB);
    const auto shared = static_cast<std::size_t>(
        std::ranges::count_if(sessions, [](const auto& entry) { return entry.second.sharedA.n > 0; }));
    comparison.paired =
        shared >= 2 || (shared == 1 && (comparison.ownA.sessions < 2 || comparison.ownB.sessions < 2));
    comparison.sessionsA = comparison.ownA.sessions;
    comparison.sessionsB = comparison.ownB.sessions;
    comparison.sessions = comparison.paired ? shared : comparison.sessionsA + comparison.sessionsB;
    if (comparison.paired) {
        for (const auto& [number, session] : sessions)
            comparison.seconds += session.sharedA.n;
        addSpread(comparison, sessions);
    } else {
        comparison.warning =
            "different sessions: the mix of activities, weather and fitness cannot be told from the devices";
    }
    for (const auto key : comparedKeys()) {
        auto& found = comparison.metrics.emplace_back();
        found.key = key;
        const auto strata = strataOf(sessions, key, comparison.paired);
        if (alike == Alike::Activity && strata.size() > 1)
            compareOver(found, strata, comparison.paired);
        else
            compareWithin(found, together(strata), comparison.paired,
                          takesMargin(key) ? margin : std::nullopt, seed);
    }
    return comparison;
}

/// Over everything that compares the same metric; the pooled row repeats its activities and is left out.
void adjust(std::vector<DeviceComparison>& comparisons) {
    for (const auto key : comparedKeys()) {
        std::vector<MetricDifference*> family;
        std::vector<double> p;
        for (auto& comparison : comparisons)
            for (auto& metric : comparison.metrics) {
                const auto own = metric.signFlipP ? metric.signFlipP : metric.p;
                if (metric.key != key || comparison.allActivities || !own) continue;
                family.push_back(&metric);
                p.push_back(*own);
            }
        if (family.size() < 2) continue;
        const auto adjusted = agreement::holm(p);
        for (std::size_t i = 0; i < family.size(); ++i)
            family[i]->holmP = adjusted[i];
    }
}

}  // namespace

std::vector<DeviceComparison> compareDevices(const std::vector<SessionEvidence>& evidence,
                                             const Question& question, Clock clock) {
    Question bySession = question;
    bySession.by = {GroupKey::Session};
    const auto groups = labelledMembers(evidence, bySession);
    std::vector<DeviceComparison> comparisons;
    for (const auto& pair : question.compare) {
        const auto sessions =
            sessionsOf(firstBySession(groups, pair.a), firstBySession(groups, pair.b), clock);
        std::set<std::string> activities;
        for (const auto& [number, session] : sessions)
            activities.insert(session.activity);
        const auto add = [&](const std::optional<std::string>& activity, Alike alike) {
            comparisons.push_back(comparisonOf(pair, activity, alike, sessions, clock, question.margin_bpm,
                                               question.bootstrap.seed));
        };
        for (const auto& activity : activities)
            add(activity, Alike::Session);
        if (activities.size() < 2) continue;
        add(std::nullopt, Alike::Session);
        add(std::nullopt, Alike::Activity);
    }
    adjust(comparisons);
    return comparisons;
}

}  // namespace beatwitness::evaluation
