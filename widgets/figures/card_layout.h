#pragma once

#include <QFont>
#include <QRectF>
#include <QStringList>
#include <vector>

#include "core/report/scene.h"

namespace beatwitness::widgets {

/// A number of a card with the words around it, in points.
struct PlacedStatement {
    QStringList label, note;
    QRectF labelBox, noteBox;
    QPointF value;  ///< where its baseline begins
    QRectF mark;    ///< the stroke in the device's colour
};

struct CardLayout {
    QFont value;  ///< one size for all, so that they are compared and not their lengths
    std::vector<PlacedStatement> statements;
    QStringList verdict;
    QRectF verdictBox;
};

/// Statements side by side, below each other in a tall body; as large as the widest allows.
[[nodiscard]] CardLayout layOutCard(const report::Scene& scene, const QRectF& body);

/// The least height of the body of a card, in points.
[[nodiscard]] double leastCard(const report::Scene& scene, double width);

}  // namespace beatwitness::widgets
