#pragma once

#include <QLineF>
#include <QRectF>
#include <optional>

namespace beatwitness::widgets {

/// The part of a straight line inside `rect`; nothing where it misses. Source: Liang & Barsky, ACM Trans
/// Graph 1984;3:1-22.
[[nodiscard]] std::optional<QLineF> cutTo(const QRectF& rect, const QLineF& line);

}  // namespace beatwitness::widgets
