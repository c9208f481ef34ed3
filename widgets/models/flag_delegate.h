#pragma once

#include <QStyledItemDelegate>

namespace beatwitness::widgets {

/// Draws a row of FlagListModel: code on a chip with the kind's edge, what and whose, from-to, magnitude at
/// the right.
class FlagDelegate : public QStyledItemDelegate {
    Q_OBJECT

public:
    using QStyledItemDelegate::QStyledItemDelegate;

    void paint(QPainter* painter, const QStyleOptionViewItem& option,
               const QModelIndex& index) const override;
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override;
};

}  // namespace beatwitness::widgets
