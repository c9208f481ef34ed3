#include "widgets/figures/vector_line.h"

#include <array>
#include <cmath>

namespace beatwitness::widgets {
namespace {

/// One column's points that matter, in their order.
class Column {
public:
    void start(QPointF point) { first_ = lowest_ = highest_ = last_ = {point, 0}, count_ = 1; }
    void take(QPointF point) {
        last_ = {point, count_};
        if (point.y() < highest_.first.y()) highest_ = last_;
        if (point.y() > lowest_.first.y()) lowest_ = last_;
        ++count_;
    }
    void flush(QPolygonF& stroke) const {
        if (count_ == 0) return;
        std::array kept{first_, lowest_, highest_, last_};
        if (kept[1].second > kept[2].second) std::swap(kept[1], kept[2]);
        for (std::size_t i = 0; i < kept.size(); ++i)
            if (i == 0 || kept[i].second != kept[i - 1].second) stroke << kept[i].first;
    }

private:
    using Numbered = std::pair<QPointF, int>;
    Numbered first_, lowest_, highest_, last_;
    int count_ = 0;
};

/// Strokes cut to `rect`: pieces between leaving and coming back.
void appendCut(std::vector<QPolygonF>& strokes, const QPolygonF& stroke, const QRectF& rect) {
    QPolygonF piece;
    const auto finish = [&] {
        if (!piece.isEmpty()) strokes.push_back(piece);
        piece.clear();
    };
    if (stroke.size() == 1 && rect.contains(stroke.front())) piece << stroke.front();
    for (qsizetype i = 1; i < stroke.size(); ++i) {
        const auto cut = cutTo(rect, QLineF(stroke[i - 1], stroke[i]));
        if (!cut) {
            finish();
            continue;
        }
        if (piece.isEmpty() || piece.back() != cut->p1()) {
            finish();
            piece << cut->p1();
        }
        piece << cut->p2();
    }
    finish();
}

}  // namespace

std::vector<QPolygonF> strokesOf(const report::Line& line, const PlacedPanel& place, double column_pt) {
    std::vector<QPolygonF> strokes;
    QPolygonF stroke;
    Column column;
    double at = std::nan("");  // no column: unequal to any
    const auto finish = [&] {
        column.flush(stroke);
        if (!stroke.isEmpty()) appendCut(strokes, stroke, place.axes);
        stroke.clear();
        column = {};
        at = std::nan("");
    };
    for (std::size_t i = 0; i < line.x.size(); ++i) {
        if (i > 0 && !line.joined[i]) finish();
        const QPointF point(place.x(line.x[i]), place.y(line.y[i]));
        const double next = std::floor(point.x() / column_pt);
        if (next != at) {
            column.flush(stroke);
            column.start(point);
            at = next;
        } else {
            column.take(point);
        }
    }
    finish();
    return strokes;
}

}  // namespace beatwitness::widgets
