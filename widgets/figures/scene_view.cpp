#include "widgets/figures/scene_view.h"

#include <QEvent>
#include <QPainter>

#include "widgets/figures/figure_text.h"
#include "widgets/figures/scene_painter.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {

SceneView::SceneView(QWidget* parent) : QWidget(parent) {
    setAccessibleName(tr("Figure"));
}

void SceneView::setScene(report::Scene scene) {
    scene_ = std::move(scene);
    setAccessibleName(QString::fromStdString(scene_.title));
    setAccessibleDescription(QString::fromStdString(scene_.caption));
    updateGeometry();
    update();
}

/// Figure text of 8 points comes out as large as the window's captions.
double SceneView::pixelsPerPoint() const {
    return QFontMetricsF(smallFont()).height() / QFontMetricsF(figureFont(TextSize::Plain)).height();
}

QSize SceneView::sizeHint() const {
    const double width = 320.0 * pixelsPerPoint();
    return QSizeF(width, width / scene_.aspect).toSize();
}

QSize SceneView::minimumSizeHint() const {
    return (QSizeF(180.0, 110.0) * pixelsPerPoint()).toSize();
}

void SceneView::paintEvent(QPaintEvent*) {
    FigureSize size;
    size.pixelsPerPoint = pixelsPerPoint();
    // Italic and bold letters reach over the edge that they start from.
    constexpr double rim_pt = 3.0;
    size.paper = QSizeF(width(), height()) / size.pixelsPerPoint - QSizeF(2 * rim_pt, 2 * rim_pt);
    QPainter painter(this);
    painter.scale(size.pixelsPerPoint, size.pixelsPerPoint);
    painter.translate(rim_pt, rim_pt);
    paintScene(painter, scene_, size, currentPalette());
}

void SceneView::changeEvent(QEvent* event) {
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange) update();
    QWidget::changeEvent(event);
}

}  // namespace beatwitness::widgets
