#pragma once

#include <QWidget>

#include "core/report/scene.h"

namespace beatwitness::widgets {

/// A figure on a page: the very drawing that is exported, in the window's theme and at its text size.
///
/// Its accessible description is the caption; keyboard focus is not taken, since there is nothing to operate.
class SceneView : public QWidget {
    Q_OBJECT

public:
    explicit SceneView(QWidget* parent = nullptr);

    void setScene(report::Scene scene);
    [[nodiscard]] const report::Scene& scene() const { return scene_; }

    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    [[nodiscard]] double pixelsPerPoint() const;

    report::Scene scene_;
};

}  // namespace beatwitness::widgets
