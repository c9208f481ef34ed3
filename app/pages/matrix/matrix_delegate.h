#pragma once

#include <QStyledItemDelegate>

#include "app/pages/matrix/matrix_model.h"

namespace beatwitness::app {

/// Draws the matrix: heads of groups, a session's name over its day, and cells. A cell is never told by
/// colour alone: a number stands on a tint that grows with the error, a failed attempt is hatched and says
/// "none", a planned one has a dashed edge, a refused alignment a notched corner.
class MatrixDelegate : public QStyledItemDelegate {
    Q_OBJECT

public:
    using QStyledItemDelegate::QStyledItemDelegate;

    /// From which error on the tint is at its strongest, bpm.
    static constexpr double strongest_bpm = 12.0;

    void paint(QPainter* painter, const QStyleOptionViewItem& option,
               const QModelIndex& index) const override;
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    void updateEditorGeometry(QWidget* editor, const QStyleOptionViewItem& option,
                              const QModelIndex& index) const override;

    [[nodiscard]] static int rowHeight();
    /// Of a device's column.
    [[nodiscard]] static int cellWidth();
};

}  // namespace beatwitness::app
