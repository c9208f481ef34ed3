#include "core/agreement/proportion.h"

#include <algorithm>
#include <cmath>

#include "core/agreement/quantiles.h"

namespace beatwitness::agreement {

Interval wilson(double x, double n) {
    const double p = x / n, z2 = normal975 * normal975;
    const double centre = (p + z2 / (2 * n)) / (1 + z2 / n);
    const double reach = normal975 / (1 + z2 / n) * std::sqrt(p * (1 - p) / n + z2 / (4 * n * n));
    return {x == 0 ? 0.0 : centre - reach, x == n ? 1.0 : centre + reach};
}

Interval clopperPearson(double x, double n) {
    return {x == 0 ? 0.0 : betaQuantile(0.025, x, n - x + 1),
            x == n ? 1.0 : betaQuantile(0.975, x + 1, n - x)};
}

}  // namespace beatwitness::agreement
