#pragma once

#include <QWidget>

#include "core/alignment/estimate_alignment.h"

namespace beatwitness::widgets {

/// How the disagreement of two traces depends on the clock offset, small: the curve, the offset in force as a
/// marker and its 95 % interval as a band.
class LossCurveView : public QWidget {
    Q_OBJECT

public:
    explicit LossCurveView(QWidget* parent = nullptr);

    void setAlignment(const alignment::Alignment& alignment);
    void clear();
    /// False where the alignment brought no curve; the view then says so.
    [[nodiscard]] bool hasCurve() const { return !alignment_.lossCurve.empty(); }

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

protected:
    void changeEvent(QEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

private:
    alignment::Alignment alignment_;
};

}  // namespace beatwitness::widgets
