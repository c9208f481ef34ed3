#pragma once

#include "core/agreement/session_bootstrap.h"

namespace beatwitness::agreement {

/// 95 % intervals of a share x / n, as a fraction of 1, for n independent readings: sessions, never seconds.
/// Requires 0 <= x <= n, n > 0. Sources: Wilson, J Am Stat Assoc 1927;22:209-212; Clopper & Pearson,
/// Biometrika 1934;26:404-413.
[[nodiscard]] Interval wilson(double x, double n);
[[nodiscard]] Interval clopperPearson(double x, double n);

}  // namespace beatwitness::agreement
