#pragma once

#include <QAbstractScrollArea>
#include <QImage>
#include <QTimer>
#include <memory>

#include "core/report/scene.h"
#include "widgets/background/task_runner.h"
#include "widgets/figures/figure_export.h"

namespace beatwitness::widgets {

/// A figure as it will be exported: fitted to the view, or at its true size (a pixel of a video a pixel of
/// the screen; print as wide as it will be on paper). Drawn in the background; what was drawn before stays
/// until then. Transparent figures stand on a chequerboard.
///
/// Dragging and the arrow keys scroll what is larger than the view.
class FigurePreview : public QAbstractScrollArea {
    Q_OBJECT

public:
    enum class Zoom { Fit, TrueSize };

    explicit FigurePreview(QWidget* parent = nullptr);

    void showFigure(std::shared_ptr<const report::Scene> scene, const FigureSize& size,
                    const ExportStyle& style);
    /// Words in place of a figure: why there is none, or what to do.
    void showWords(const QString& words);
    void setZoom(Zoom zoom);
    [[nodiscard]] Zoom zoom() const { return zoom_; }
    /// Lines around what a viewer's screen surely shows (title-safe, and action-safe of a video).
    void setMargins(bool shown);
    [[nodiscard]] bool showsMargins() const { return margins_; }
    /// Pixels of the picture at hand for one pixel of the export.
    [[nodiscard]] double scale() const;
    /// The picture at hand; null while there is none.
    [[nodiscard]] const QImage& picture() const { return image_; }

    [[nodiscard]] QSize sizeHint() const override;

signals:
    void drawn();

protected:
    void paintEvent(QPaintEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

private:
    [[nodiscard]] QSizeF shownSize() const;  ///< of the figure, in points of the screen
    void layOutBars();
    void draw();
    void drawMargins(QPainter& painter, const QRectF& frame) const;

    std::shared_ptr<const report::Scene> scene_;
    FigureSize size_;
    ExportStyle style_;
    QString words_;
    Zoom zoom_ = Zoom::Fit;
    bool margins_ = false;
    QImage image_;
    QPoint dragFrom_;
    QTimer redraw_;
    TaskRunner runner_;
};

}  // namespace beatwitness::widgets
