#include "app/pages/compare/scene_column.h"

#include <QCoreApplication>
#include <QEvent>
#include <QScrollBar>
#include <QVBoxLayout>
#include <algorithm>

#include "widgets/figures/scene_view.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {
namespace {

constexpr int paperMargin = 10;

/// Lines of text that the figure needs to be read: heads, and what stands in its rows.
double linesOf(const report::Scene& scene) {
    constexpr double head = 5.0, row = 1.7, axes = 3.0, plot = 14.0;
    double lines = head;
    for (const auto& panels : scene.rows) {
        double most = 0.0;
        for (const auto& panel : panels.panels) {
            const bool named = panel.y.kind == report::Axis::Kind::Categories;
            double marks = 0.0;
            for (const auto& mark : panel.marks)
                marks += std::holds_alternative<report::IntervalMark>(mark) ? 1.0 : 0.0;
            most = std::max(
                most,
                named ? std::max(row * static_cast<double>(panel.y.categories.size()), 1.15 * marks) : plot);
        }
        lines += most + axes;
    }
    return lines;
}

/// Rows of squares with two lines above and one below each.
double mapsHeight(const report::Scene& scene, double width, double line) {
    const auto rows = static_cast<double>(scene.rows.size());
    const auto columns = static_cast<double>(scene.rows.front().panels.size());
    return rows * (width / columns + 0.9 * line) + 5.0 * line;
}

}  // namespace

SceneColumn::SceneColumn(const QString& name, QWidget* parent) : QScrollArea(parent) {
    setAccessibleName(name);
    setFrameShape(QFrame::NoFrame);
    setWidgetResizable(true);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    auto* inside = new QWidget(this);
    column_ = new QVBoxLayout(inside);
    column_->setContentsMargins(14, 10, 14, 14);
    column_->setSpacing(14);
    column_->addStretch(1);
    setWidget(inside);
}

widgets::SceneView* SceneColumn::addPlace(const char* objectName) {
    auto* paper = new widgets::QuietBox(QPalette::Base, widget());
    auto* place = new widgets::SceneView(paper);
    place->setObjectName(QString::fromLatin1(objectName));
    auto* inside = new QVBoxLayout(paper);
    inside->setContentsMargins(paperMargin, paperMargin, paperMargin, paperMargin);
    inside->addWidget(place);
    paper->hide();
    places_.push_back(place);
    addWidget(paper);
    return place;
}

void SceneColumn::addWidget(QWidget* added) {
    column_->insertWidget(column_->count() - 1, added);
}

void SceneColumn::setScene(widgets::SceneView* place, std::optional<report::Scene> scene) {
    place->parentWidget()->setVisible(scene.has_value());
    if (scene) place->setScene(std::move(*scene));
    fitHeights();
}

QSize SceneColumn::sizeHint() const {
    return {fontMetrics().averageCharWidth() * 58, fontMetrics().height() * 30};
}

void SceneColumn::resizeEvent(QResizeEvent* event) {
    QScrollArea::resizeEvent(event);
    fitHeights();
}

void SceneColumn::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) fitHeights();
    QScrollArea::changeEvent(event);
}

void SceneColumn::fitHeights() {
    const auto margins = column_->contentsMargins();
    const int width = viewport()->width() - margins.left() - margins.right() - 2 * paperMargin;
    for (auto* place : places_) {
        const auto& scene = place->scene();
        const bool square = !scene.rows.empty() && !scene.rows.front().panels.empty() &&
                            scene.rows.front().panels.front().square;
        const double byLines = linesOf(scene) * place->fontMetrics().height();
        const double byWidth = width / scene.aspect;
        // Maps go by their width; rows of marks need no more height than makes them easy to read.
        const double height =
            square ? mapsHeight(scene, width, place->fontMetrics().height())
                   : std::max(byLines, std::min(byWidth, byLines * (scene.rows.size() > 1 ? 1.0 : 1.35)));
        place->setFixedHeight(static_cast<int>(height));
        place->parentWidget()->layout()->activate();
    }
    // At once, and not over several turns of the event loop: cards would be seen cut off meanwhile.
    column_->activate();
    QEvent settled(QEvent::LayoutRequest);
    QCoreApplication::sendEvent(widget(), &settled);
}

}  // namespace beatwitness::app
