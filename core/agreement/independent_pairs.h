#pragma once

#include <optional>

#include "core/agreement/session_bootstrap.h"
#include "core/agreement/session_sums.h"

/// Formulas that hold for independent pairs only: one pair a session, never seconds of one session.
namespace beatwitness::agreement {

/// t on n - 1; nothing below two pairs.
[[nodiscard]] std::optional<Interval> independentBias(const SessionSums& sums);
/// Of the n - 1 standard deviation, by chi-square.
[[nodiscard]] std::optional<Interval> independentSd(const SessionSums& sums);
/// By Fisher's z; nothing below four pairs or at +-1.
[[nodiscard]] std::optional<Interval> independentPearson(const SessionSums& sums);

/// Concordance with its standard error. Nothing below three pairs; intervals nothing where r is 0 or the
/// concordance +-1. Source: Lin, Biometrics 1989;45:255-268, corrected 2000;56:324-325.
struct Concordance {
    double ccc = 0.0, accuracy = 0.0, standardError = 0.0;
    Interval byZ;         ///< by the z transformation
    Interval asymptotic;  ///< ccc +- z SE
};
[[nodiscard]] std::optional<Concordance> independentConcordance(const SessionSums& sums);

/// Two-way analysis of variance of n pairs. Sources: Shrout & Fleiss, Psychol Bull 1979;86:420-428;
/// intervals McGraw & Wong, Psychol Methods 1996;1:30-46.
struct IntraclassCorrelations {
    double rowsMeanSquare = 0.0, columnsMeanSquare = 0.0, errorMeanSquare = 0.0, withinMeanSquare = 0.0;
    double icc11 = 0.0, icc21 = 0.0, icc31 = 0.0;
    double icc21Df = 0.0;
    Interval icc21Ci95, icc31Ci95;
};
[[nodiscard]] std::optional<IntraclassCorrelations> independentIntraclass(const SessionSums& sums);

/// Repeatability of one device from two readings of one thing each: s_w, and 1.96 sqrt(2) s_w (with the exact
/// z). `squares`: sum of squared differences of n twins. Source: Bland & Altman, Lancet 1986.
struct Repeatability {
    double withinSd = 0.0, coefficient = 0.0;
};
[[nodiscard]] Repeatability repeatability(double squares, double twins);

}  // namespace beatwitness::agreement
