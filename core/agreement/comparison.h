#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/agreement/session_bootstrap.h"

/// Two devices held against each other, on one value a session (or wearer) each. Source: field
/// guide 2.7, 2.8.
namespace beatwitness::agreement {

/// Mean and spread of one value a session.
struct MeanOfSessions {
    std::size_t sessions = 0;
    double mean = 0.0;
    std::optional<double> standardError;  ///< nothing below two
    [[nodiscard]] double df() const { return static_cast<double>(sessions) - 1; }
};
[[nodiscard]] MeanOfSessions meanOfSessions(std::span<const double> values);

/// Mean difference of paired sessions, t on k - 1.
struct PairedDifference {
    MeanOfSessions mean;
    std::optional<double> t, p;
    std::optional<Interval> ci95;
};
[[nodiscard]] PairedDifference pairedDifference(std::span<const double> differences);

/// Two-sided p of the mean difference over all 2^k signs; up to 24 sessions every one is tried, beyond that
/// 2^20 drawn ones (with the seed). `least` is what no set of k differences can go below.
struct SignFlip {
    double p = 1.0;
    double least = 1.0;
    bool exact = true;
};
[[nodiscard]] std::optional<SignFlip> signFlip(std::span<const double> differences, std::uint64_t seed = 1);

/// Difference of means of different sessions, unequal variances. Nothing with fewer than two of either.
struct WelchDifference {
    double difference = 0.0, standardError = 0.0, df = 0.0, t = 0.0, p = 1.0;
    Interval ci95;
};
[[nodiscard]] std::optional<WelchDifference> welch(std::span<const double> a, std::span<const double> b);
/// The same of weighted sums of strata: difference = sum w (mean a - mean b), Satterthwaite df.
struct Stratum {
    std::vector<double> a, b;
};
[[nodiscard]] std::optional<WelchDifference> stratifiedWelch(std::span<const Stratum> strata);

/// Two one-sided tests of |mean| < margin: the 90 % interval inside +- margin. It concerns the mean alone.
struct Equivalence {
    double margin = 0.0, mean = 0.0, standardError = 0.0, df = 0.0;
    double tLower = 0.0, tUpper = 0.0, pLower = 1.0, pUpper = 1.0;
    Interval ci90;
    bool equivalent = false;
    [[nodiscard]] double p() const { return pLower > pUpper ? pLower : pUpper; }
};
/// Nothing with fewer than two values, or where they do not vary.
[[nodiscard]] std::optional<Equivalence> equivalence(std::span<const double> values, double margin);

/// Whether two paired sets of values spread alike. Nothing below three pairs or without spread.
/// Source: Pitman, Biometrika 1939;31:9-12; Morgan, ibid. 13-19.
struct SpreadComparison {
    double varianceRatio = 1.0, r = 0.0, t = 0.0, df = 0.0, p = 1.0;
};
[[nodiscard]] std::optional<SpreadComparison> compareSpread(std::span<const double> a,
                                                            std::span<const double> b);

/// Holm's adjusted p, in the order given. Source: Holm, Scand J Stat 1979;6:65-70.
[[nodiscard]] std::vector<double> holm(std::span<const double> p);

}  // namespace beatwitness::agreement
