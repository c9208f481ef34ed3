#include "widgets/theme/cut_line.h"

#include <algorithm>

namespace beatwitness::widgets {

std::optional<QLineF> cutTo(const QRectF& rect, const QLineF& line) {
    double enter = 0.0, leave = 1.0;
    const auto side = [&](double direction, double distance) {
        if (direction == 0.0) return distance >= 0.0;
        const double at = distance / direction;
        if (direction < 0.0)
            enter = std::max(enter, at);
        else
            leave = std::min(leave, at);
        return enter <= leave;
    };
    if (!side(-line.dx(), line.x1() - rect.left()) || !side(line.dx(), rect.right() - line.x1()) ||
        !side(-line.dy(), line.y1() - rect.top()) || !side(line.dy(), rect.bottom() - line.y1()))
        return std::nullopt;
    return QLineF(enter == 0.0 ? line.p1() : line.pointAt(enter),
                  leave == 1.0 ? line.p2() : line.pointAt(leave));
}

}  // namespace beatwitness::widgets
