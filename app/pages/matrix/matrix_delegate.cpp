#include "app/pages/matrix/matrix_delegate.h"

#include <QLineEdit>
#include <QPainter>
#include <QPainterPath>
#include <algorithm>

#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

constexpr int margin = 6;

QRectF cellBox(const QRect& rect) {
    const int height = QFontMetrics(smallFont()).height() + 10;
    QRectF box = QRectF(rect).adjusted(2, 0, -2, 0);
    box.setTop(rect.center().y() - height / 2.0);
    box.setHeight(height);
    return box.adjusted(0.5, 0.5, -0.5, -0.5);
}

void drawRowBackground(QPainter& painter, const QStyleOptionViewItem& option) {
    const auto& palette = currentPalette();
    if (option.state & QStyle::State_Selected)
        painter.fillRect(option.rect, palette.accentTint);
    else if (option.state & QStyle::State_MouseOver)
        painter.fillRect(option.rect, mixed(palette.surface, palette.accentTint, 0.5));
}

void drawFocus(QPainter& painter, const QStyleOptionViewItem& option) {
    if (!(option.state & QStyle::State_HasFocus)) return;
    painter.setPen(QPen(currentPalette().accent, 2));
    painter.setBrush(Qt::NoBrush);
    painter.drawRoundedRect(QRectF(option.rect).adjusted(1, 1, -1, -1), 3, 3);
}

void drawHead(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index) {
    const auto& palette = currentPalette();
    const QRect text = option.rect.adjusted(index.column() == 0 ? margin : 0, 0, -2, -3);
    const QString words = index.data().toString();
    if (index.column() > 0) {
        painter.setFont(smallFont());
        painter.setPen(palette.quietInk);
        painter.drawText(text, Qt::AlignHCenter | Qt::AlignBottom, words);
        return;
    }
    painter.setFont(strongFont());
    painter.setPen(palette.ink);
    painter.drawText(text, Qt::AlignLeft | Qt::AlignBottom,
                     QFontMetrics(strongFont()).elidedText(words, Qt::ElideRight, text.width()));
}

void drawName(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index) {
    const auto& palette = currentPalette();
    const QFontMetrics name(option.font), day(smallFont());
    const int height = name.height() + day.height();
    QRect text = option.rect.adjusted(margin + 4, 0, -4, 0);
    text.setTop(option.rect.center().y() - height / 2);
    text.setHeight(height);
    const bool planned = index.data(MatrixModel::IsPlannedRole).toBool();
    painter.setFont(option.font);
    painter.setPen(planned ? palette.quietInk : palette.ink);
    painter.drawText(text, Qt::AlignLeft | Qt::AlignTop,
                     name.elidedText(index.data().toString(), Qt::ElideRight, text.width()));
    painter.setFont(smallFont());
    painter.setPen(palette.quietInk);
    painter.drawText(
        text, Qt::AlignLeft | Qt::AlignBottom,
        day.elidedText(index.data(MatrixModel::DayRole).toString(), Qt::ElideRight, text.width()));
}

/// Rising diagonals, in points of the screen, clipped to the cell.
void hatch(QPainter& painter, const QRectF& box) {
    painter.save();
    QPainterPath clip;
    clip.addRoundedRect(box, 3, 3);
    painter.setClipPath(clip);
    painter.setPen(QPen(mixed(currentPalette().surface, currentPalette().quietInk, 0.6), 1));
    for (double x = box.left() - box.height(); x < box.right(); x += 5)
        painter.drawLine(QPointF(x, box.bottom()), QPointF(x + box.height(), box.top()));
    painter.restore();
}

void drawText(QPainter& painter, const QRectF& box, const QString& text, const QColor& colour) {
    painter.setFont(smallFont());
    painter.setPen(colour);
    painter.drawText(box, Qt::AlignCenter, text);
}

void drawNumber(QPainter& painter, const QRectF& box, const MatrixCell& cell, const QString& text) {
    const auto& palette = currentPalette();
    const double share = std::clamp(*cell.mae_bpm / MatrixDelegate::strongest_bpm, 0.0, 1.0);
    painter.setPen(Qt::NoPen);
    painter.setBrush(mixed(palette.surface, palette.trace(cell.colour), 0.10 + 0.38 * share));
    painter.drawRoundedRect(box, 3, 3);
    if (cell.refused) {
        const QPointF corner = box.topRight();
        painter.setBrush(palette.ink);
        painter.drawPolygon(QPolygonF{corner, corner + QPointF(-7, 0), corner + QPointF(0, 7)});
    }
    drawText(painter, box, text, palette.ink);
}

void drawFailed(QPainter& painter, const QRectF& box) {
    const auto& palette = currentPalette();
    hatch(painter, box);
    painter.setPen(QPen(palette.quietInk, 1));
    painter.setBrush(Qt::NoBrush);
    painter.drawRoundedRect(box, 3, 3);
    const QString text = MatrixDelegate::tr("none");
    const QFontMetrics metrics(smallFont());
    QRectF behind(0, 0, metrics.horizontalAdvance(text) + 2, metrics.xHeight() + 6);
    behind.moveCenter(box.center());
    painter.fillRect(behind, palette.surface);  // text on hatching is hard to read
    drawText(painter, box, text, palette.ink);
}

void drawCell(QPainter& painter, const QRect& rect, const MatrixCell& cell, const QString& text) {
    const auto& palette = currentPalette();
    const QRectF box = cellBox(rect);
    switch (cell.kind) {
        case MatrixCell::Kind::Empty:
            return;
        case MatrixCell::Kind::Number:
            return drawNumber(painter, box, cell, text);
        case MatrixCell::Kind::Failed:
            return drawFailed(painter, box);
        case MatrixCell::Kind::Computing:
            return drawText(painter, box, QStringLiteral("…"), palette.quietInk);
        case MatrixCell::Kind::Unscored:
            return drawText(painter, box, QStringLiteral("—"), palette.quietInk);
        case MatrixCell::Kind::Planned:
            painter.setPen(QPen(palette.quietInk, 1.2, Qt::DashLine));
            painter.setBrush(Qt::NoBrush);
            painter.drawRoundedRect(box, 4, 4);
            return;
    }
}

}  // namespace

void MatrixDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option,
                           const QModelIndex& index) const {
    painter->save();
    painter->setRenderHint(QPainter::Antialiasing);
    drawRowBackground(*painter, option);
    if (index.data(MatrixModel::IsHeadRole).toBool())
        drawHead(*painter, option, index);
    else if (index.column() == 0)
        drawName(*painter, option, index);
    else
        drawCell(*painter, option.rect, static_cast<const MatrixModel*>(index.model())->cell(index),
                 index.data().toString());
    drawFocus(*painter, option);
    painter->restore();
}

int MatrixDelegate::rowHeight() {
    return QFontMetrics(QApplication::font()).height() + QFontMetrics(smallFont()).height() + 6;
}

int MatrixDelegate::cellWidth() {
    return QFontMetrics(smallFont()).horizontalAdvance(QStringLiteral("none")) + 20;
}

QSize MatrixDelegate::sizeHint(const QStyleOptionViewItem&, const QModelIndex& index) const {
    return {index.column() == 0 ? 10 * cellWidth() / 4 : cellWidth(), rowHeight()};
}

void MatrixDelegate::updateEditorGeometry(QWidget* editor, const QStyleOptionViewItem& option,
                                          const QModelIndex&) const {
    editor->setGeometry(option.rect.adjusted(2, 2, -2, -2));
}

}  // namespace beatwitness::app
