#include "core/evaluation/group_limits.h"

#include <fmt/format.h>

#include <algorithm>

namespace beatwitness::evaluation {
namespace {

using agreement::Limits;
using agreement::PairedSeconds;

/// Errors of all sessions, and the magnitudes they stand at.
struct Errors {
    std::vector<double> all;
    std::vector<agreement::MagnitudeErrors> bySession;
};

void append(agreement::MagnitudeErrors& session, const PairedSeconds& seconds, Against against) {
    for (std::size_t i = 0; i < seconds.size(); ++i) {
        if (seconds.paired[i] == 0) continue;
        const double reference = seconds.reference[i], test = seconds.test[i];
        session.magnitude.push_back(against == Against::Reference ? reference : (reference + test) / 2);
        session.error.push_back(test - reference);
    }
}

Errors errorsOf(const std::vector<SessionMembers>& sessions, Against against) {
    Errors errors;
    for (const auto& session : sessions) {
        auto& own = errors.bySession.emplace_back();
        for (const auto* seconds : session.seconds)
            append(own, *seconds, against);
        errors.all.insert(errors.all.end(), own.error.begin(), own.error.end());
    }
    return errors;
}

/// From the lowest to the highest end of both intervals.
double width(const Limits& limits) {
    return limits.upper.ci95->upper - limits.lower.ci95->lower;
}

void chooseRepeated(GroupLimits& limits, std::size_t k) {
    if (!limits.bootstrap) {
        limits.shown = "repeated_pairs_mover";
        limits.because = fmt::format(
            "{} sessions with repeated pairs: limits on the mean of session means with MOVER intervals (t); "
            "a "
            "bootstrap needs {}",
            k, agreement::bootstrapFrom);
        return;
    }
    const double mover = width(limits.mover->limits), bootstrap = width(limits.bootstrap->limits);
    const bool wider = bootstrap > mover;
    limits.shown = wider ? "bootstrap" : "repeated_pairs_mover";
    limits.because = fmt::format(
        "{} sessions with repeated pairs: of the MOVER intervals ({:.1f} bpm from end to end) and those of "
        "the "
        "session bootstrap ({:.1f} bpm) the wider are shown",
        k, mover, bootstrap);
}

void choose(GroupLimits& limits, std::size_t k, double pairs) {
    if (k == 1) {
        limits.shown = "simple";
        limits.because = "one session: its limits, without an interval";
    } else if (pairs == static_cast<double>(k)) {
        limits.shown = "exact";
        limits.because = "one pair a session: the pairs are independent, so the exact interval holds";
    } else if (limits.mover) {
        chooseRepeated(limits, k);
    }
    if (limits.degenerate)
        limits.because += "; all errors are the same, so the limits have no width";
    else if (limits.excessKurtosis && *limits.excessKurtosis > agreement::burstKurtosis)
        limits.because += fmt::format(
            "; the errors come in bursts (excess kurtosis {:.1f}), which no mean and standard deviation "
            "describe: read the percentiles beside them",
            *limits.excessKurtosis);
}

}  // namespace

const Limits* GroupLimits::chosen() const {
    if (shown == "simple" && simple) return &*simple;
    if (shown == "exact" && exact) return &*exact;
    if (shown == "bootstrap" && bootstrap) return &bootstrap->limits;
    if (shown == "repeated_pairs_mover" && mover) return &mover->limits;
    return nullptr;
}

GroupLimits groupLimits(const std::vector<SessionMembers>& sessions, const Question& question) {
    GroupLimits limits;
    agreement::SessionSums all;
    std::vector<agreement::SessionErrors> units;
    for (const auto& session : sessions) {
        all += session.sums;
        units.push_back(agreement::sessionErrors(session.sums, session.independent));
    }
    const auto sd = agreement::sdOf(all);
    if (!sd) return limits;
    const std::size_t k = sessions.size();
    const double bias = all.error / all.n;
    const bool independent = k >= 2 && all.n == static_cast<double>(k);
    limits.degenerate = *sd <= 1e-9;
    limits.simple = agreement::approximateLimits(all.n, bias, *sd);
    limits.exact = agreement::exactLimits(all.n, bias, *sd);
    if (!independent)
        for (auto* form : {&*limits.simple, &*limits.exact})
            form->lower.ci95 = form->upper.ci95 = std::nullopt;
    limits.components = agreement::componentsOf(units);
    if (limits.components) limits.repeatedPairs = agreement::repeatedPairsLimits(*limits.components);
    limits.mover = agreement::moverLimits(units, agreement::independentWithinDf(units));
    if (!independent) limits.bootstrap = agreement::bootstrapLimits(units, question.bootstrap);
    auto errors = errorsOf(sessions, question.against);
    limits.byMagnitude = agreement::magnitudeLimits(errors.bySession);
    if (!limits.degenerate) limits.excessKurtosis = agreement::excessKurtosis(errors.all);
    if (!errors.all.empty()) limits.percentiles = agreement::percentileLimits(errors.all);
    choose(limits, k, all.n);
    return limits;
}

}  // namespace beatwitness::evaluation
