#include "core/agreement/quantiles.h"

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace beatwitness::agreement {
namespace bm = boost::math;

double normalBelow(double z) {
    return bm::cdf(bm::normal(), z);
}

double normalQuantile(double probability) {
    return bm::quantile(bm::normal(), probability);
}

double tQuantile(double probability, double df) {
    return bm::quantile(bm::students_t(df), probability);
}

double tBelow(double t, double df) {
    return bm::cdf(bm::students_t(df), t);
}

double tTwoSided(double t, double df) {
    return 2 * bm::cdf(bm::students_t(df), -std::abs(t));
}

double chiSquaredQuantile(double probability, double df) {
    return bm::quantile(bm::chi_squared(df), probability);
}

double fQuantile(double probability, double df1, double df2) {
    return bm::quantile(bm::fisher_f(df1, df2), probability);
}

double betaQuantile(double probability, double a, double b) {
    return bm::quantile(bm::beta_distribution<>(a, b), probability);
}

double noncentralTQuantile(double probability, double df, double shift) {
    return bm::quantile(bm::non_central_t(df, shift), probability);
}

}  // namespace beatwitness::agreement
