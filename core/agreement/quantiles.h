#pragma once

/// Quantiles and tail probabilities behind intervals and tests. Probabilities are those *below*.
namespace beatwitness::agreement {

inline constexpr double normal975 = 1.959963984540054;  ///< normal 97.5 % point, as the batch contract has it

[[nodiscard]] double normalBelow(double z);
[[nodiscard]] double normalQuantile(double probability);
/// Requires df > 0 in all that follow; need not be whole.
[[nodiscard]] double tQuantile(double probability, double df);
[[nodiscard]] double tBelow(double t, double df);
/// p of |T| >= |t|.
[[nodiscard]] double tTwoSided(double t, double df);
[[nodiscard]] double chiSquaredQuantile(double probability, double df);
[[nodiscard]] double fQuantile(double probability, double df1, double df2);
[[nodiscard]] double betaQuantile(double probability, double a, double b);
/// Good to some 1e-10; `shift` is the noncentrality, sizes up to several hundred.
[[nodiscard]] double noncentralTQuantile(double probability, double df, double shift);

}  // namespace beatwitness::agreement
