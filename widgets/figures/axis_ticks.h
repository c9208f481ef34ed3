#pragma once

#include <QString>
#include <vector>

#include "core/report/scene.h"

namespace beatwitness::widgets {

struct Tick {
    double at = 0.0;  ///< axis coordinate
    QString text;
};

/// Ticks at round numbers (1, 2, 5 times a power of ten; for session time whole seconds, minutes and hours;
/// for dates days, Mondays, first days of months and years), as many as fit `length` with `room` each, both
/// in points; at least the two ends' neighbours. Categories have one tick each; Hidden none.
[[nodiscard]] std::vector<Tick> ticksOf(const report::Axis& axis, double length, double room);

}  // namespace beatwitness::widgets
