#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/agreement/comparison.h"
#include "core/agreement/metric.h"
#include "core/evaluation/session_evidence.h"

namespace beatwitness::evaluation {

/// One metric of two devices. The difference is a minus b.
struct MetricDifference {
    std::string_view key;        ///< a metric's key, or `abs_bias_bpm`
    std::optional<double> a, b;  ///< mean of session values of either
    std::optional<double> difference;
    std::optional<agreement::Interval> ci95;
    std::string method;
    std::vector<double> sessionDifferences;  ///< paired only: one a shared session
    std::optional<double> p;                 ///< of the t test behind the interval
    std::optional<double> signFlipP;         ///< paired only
    std::optional<double> holmP;  ///< where one metric is tested in several activities or pairs of devices
    std::optional<agreement::Equivalence> equivalence;  ///< of the difference, where a margin was set
};

/// A device on its own pairs, whatever the other one has.
struct OwnFigures {
    std::size_t sessions = 0;
    double pairs = 0;
    std::optional<double> coverage_pct;
    std::optional<double> mae_bpm, bias_bpm;  ///< time-weighted
};

struct DeviceComparison {
    std::string a, b;
    std::string activity;
    bool allActivities = false;  ///< over all of them, each activity with equal weight
    bool bySession = false;      ///< of those: each session with equal weight instead
    Clock clock = Clock::Aligned;
    std::size_t sessions = 0;  ///< both: shared sessions where paired, else of a plus of b
    std::size_t sessionsA = 0, sessionsB = 0;
    double seconds = 0;  ///< shared seconds or epochs, where paired
    bool paired = false;
    std::string warning;  ///< what the comparison cannot tell apart; empty where paired
    std::vector<MetricDifference> metrics;
    std::optional<agreement::SpreadComparison> spread;  ///< of session biases; paired only
    OwnFigures ownA, ownB;
};

/// Differences of session values: paired on the seconds in which the reference and both devices have values,
/// where two sessions or more have such; else over different sessions by Welch, with a warning. By activity,
/// then, with several of them, over all sessions and over all activities with equal weights. Holm's
/// adjustment goes over everything that compares the same metric. The question's margin: equivalence of the
/// difference in MAE (bias, RMSE likewise). Source: field guide 2.7, 2.8.
[[nodiscard]] std::vector<DeviceComparison> compareDevices(const std::vector<SessionEvidence>& evidence,
                                                           const Question& question, Clock clock);

}  // namespace beatwitness::evaluation
