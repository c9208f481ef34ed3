#pragma once

#include <QTimer>
#include <QWidget>
#include <optional>

#include "core/alignment/estimate_alignment.h"

namespace beatwitness::widgets {

/// How the disagreement of two traces depends on the clock offset, small: the curve, the offset in force as a
/// marker and its 95 % interval as a band.
///
/// The marker is the handle for aligning by hand: a drag, or the arrow keys (0.1 s; with Control 1 s), moves
/// it; Escape takes it back. What is tried is told at once, what stays when the mouse lets go, or half a
/// second after the last key.
class LossCurveView : public QWidget {
    Q_OBJECT

public:
    explicit LossCurveView(QWidget* parent = nullptr);

    void setAlignment(const alignment::Alignment& alignment);
    void clear();
    /// False where the alignment brought no curve; the view then says so.
    [[nodiscard]] bool hasCurve() const { return !alignment_.lossCurve.empty(); }

    /// The offset that is being tried; nothing while none is.
    [[nodiscard]] std::optional<Seconds> tried() const { return tried_; }
    /// Where an offset stands, in pixels. Requires: hasCurve().
    [[nodiscard]] double xOf(Seconds offset) const;

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

signals:
    void offsetTried(std::optional<beatwitness::Seconds> offset);  ///< nothing: taken back
    void offsetChosen(beatwitness::Seconds offset);

protected:
    void changeEvent(QEvent* event) override;
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;

private:
    void attempt(double offset_s);
    void choose();
    void giveUp();
    void describe();
    [[nodiscard]] QRectF area() const;

    alignment::Alignment alignment_;
    std::optional<Seconds> tried_;
    bool dragging_ = false;
    QTimer settled_;
};

}  // namespace beatwitness::widgets
