#include "widgets/models/flag_delegate.h"

#include <QPainter>

#include "widgets/models/flag_list_model.h"
#include "widgets/plots/plot_canvas.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

constexpr int padding = 6;
constexpr double tintShare = 0.15, hatchShare = 0.38, hatchSpacing = 5.0;

/// Where text centred in `box` begins.
QPointF textOrigin(const QRectF& box, const QString& text, const QFontMetrics& metrics) {
    return {box.center().x() - metrics.horizontalAdvance(text) / 2.0,
            box.center().y() + (metrics.ascent() - metrics.descent()) / 2.0};
}

void drawBackground(QPainter& painter, const QStyleOptionViewItem& option) {
    const auto& palette = currentPalette();
    const QRectF box = QRectF(option.rect).adjusted(1.5, 1.5, -1.5, -1.5);
    if (option.state & (QStyle::State_Selected | QStyle::State_MouseOver)) {
        painter.setPen(Qt::NoPen);
        painter.setBrush(palette.accentTint);
        painter.drawRoundedRect(box, 4, 4);
    }
    if (option.state & QStyle::State_HasFocus) {
        painter.setPen(QPen(palette.accent, 2));
        painter.setBrush(Qt::NoBrush);
        painter.drawRoundedRect(box, 4, 4);
    }
}

/// The kind's edge and hatch, as its tint in the timeline, and its code: the mark is not colour alone.
QRect drawChip(QPainter& painter, const QRect& row, const QString& code, const QColor& colour, Hatch hatch) {
    const QFontMetrics metrics(smallFont());
    const QRect chip(row.left() + padding, row.center().y() - metrics.height() / 2 - 3,
                     metrics.horizontalAdvance(QStringLiteral("RISE")) + 10, metrics.height() + 6);
    const QRectF box = QRectF(chip).adjusted(1, 1, -1, -1);
    const QColor ground = mixed(currentPalette().paper, colour, tintShare);
    painter.setPen(QPen(colour, 1.5, hatch == Hatch::HollowDashed ? Qt::DashLine : Qt::SolidLine));
    painter.setBrush(hatch == Hatch::HollowDashed ? currentPalette().paper : ground);
    painter.drawRoundedRect(box, 3, 3);
    drawHatch(painter, box.adjusted(1, 1, -1, -1), hatch, mixed(ground, colour, hatchShare), hatchSpacing);
    painter.setFont(smallFont());
    drawHaloText(painter, textOrigin(QRectF(chip), code, metrics), code, currentPalette().ink, ground);
    return chip;
}

}  // namespace

void FlagDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option,
                         const QModelIndex& index) const {
    painter->save();
    painter->setRenderHint(QPainter::Antialiasing);
    drawBackground(*painter, option);
    const QRect chip = drawChip(*painter, option.rect, index.data(FlagListModel::CodeRole).toString(),
                                index.data(FlagListModel::ColourRole).value<QColor>(),
                                static_cast<Hatch>(index.data(FlagListModel::HatchRole).toInt()));

    const QString magnitude = index.data(FlagListModel::MagnitudeRole).toString();
    const int magnitudeWidth = option.fontMetrics.horizontalAdvance(magnitude) + padding;
    QRect text = option.rect.adjusted(0, padding, -padding, -padding);
    text.setLeft(chip.right() + 10);
    const bool dismissed = index.data(FlagListModel::DismissedRole).toBool();
    painter->setPen(dismissed ? currentPalette().quietInk : currentPalette().ink);
    QFont font = option.font;
    font.setStrikeOut(dismissed);
    painter->setFont(font);
    painter->drawText(text, Qt::AlignRight | Qt::AlignVCenter, magnitude);
    text.setRight(text.right() - magnitudeWidth);
    painter->drawText(text, Qt::AlignLeft | Qt::AlignTop,
                      option.fontMetrics.elidedText(index.data(FlagListModel::TitleRole).toString(),
                                                    Qt::ElideRight, text.width()));
    painter->setPen(currentPalette().quietInk);
    painter->setFont(smallFont());
    painter->drawText(text, Qt::AlignLeft | Qt::AlignBottom, index.data(FlagListModel::SpanRole).toString());
    painter->restore();
}

QSize FlagDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex&) const {
    return {200, option.fontMetrics.height() + QFontMetrics(smallFont()).height() + 2 * padding + 2};
}

}  // namespace beatwitness::widgets
