#pragma once

#include <QScrollArea>
#include <optional>
#include <vector>

#include "core/report/scene.h"

class QBoxLayout;

namespace beatwitness::widgets {
class SceneView;
}

namespace beatwitness::app {

/// Figures one under another (or beside each other), each as high as its width and its rows ask for; scrolls
/// where that is more than there is room for, never sideways.
class SceneColumn : public QScrollArea {
    Q_OBJECT

public:
    explicit SceneColumn(const QString& name, QWidget* parent = nullptr);

    /// One place for a figure, in the order of calls.
    widgets::SceneView* addPlace(const char* objectName);
    /// A widget of another kind between them.
    void addWidget(QWidget* widget);
    /// Nothing hides the place.
    void setScene(widgets::SceneView* place, std::optional<report::Scene> scene);
    [[nodiscard]] QSize sizeHint() const override;

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void fitHeights();

    QBoxLayout* column_;
    std::vector<widgets::SceneView*> places_;
};

}  // namespace beatwitness::app
