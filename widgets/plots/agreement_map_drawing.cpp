// The painting half of AgreementMapCanvas.
#include <algorithm>
#include <array>
#include <cmath>

#include "widgets/format/number_text.h"
#include "widgets/plots/agreement_map_canvas.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

constexpr double tolerance_bpm = 5.0;
constexpr double haloWidth = 3.0;  ///< both sides together

QPen pen(const QColor& colour, double width, std::initializer_list<double> dashes = {}) {
    QPen result(colour, width, Qt::SolidLine, Qt::FlatCap);
    if (dashes.size() > 0) result.setDashPattern(QList<qreal>(dashes));
    return result;
}

}  // namespace

void AgreementMapCanvas::drawCells(QCPPainter& painter) const {
    const QRectF rect = mapRect();
    painter.setAntialiasing(false);
    if (map_.pairs > 0) {
        painter.save();
        painter.setClipRect(rect);
        // Under the cells: the seconds in which both read the same lie on this very line.
        painter.setAntialiasing(true);
        drawGuide(painter, 1.0, pen(currentPalette().ink, 1.7));
        painter.setAntialiasing(false);
        painter.setRenderHint(QPainter::SmoothPixmapTransform, false);
        painter.drawImage(
            QRectF(cellRect({0, map_.cells - 1}).topLeft(), cellRect({map_.cells - 1, 0}).bottomRight()),
            image_);
        painter.restore();
    }
    painter.setPen(pen(currentPalette().hairline, 1.0));
    painter.setBrush(Qt::NoBrush);
    painter.drawRect(rect);
    painter.setAntialiasing(true);
}

void AgreementMapCanvas::drawGuide(QCPPainter& painter, double ratio, const QPen& line) const {
    // From where test = ratio * reference enters the square to where it leaves it.
    const double from = std::max(lowest_, lowest_ / ratio), to = std::min(highest_, highest_ / ratio);
    if (from >= to) return;
    const QLineF guide(pixel(from, from * ratio), pixel(to, to * ratio));
    painter.setPen(pen(currentPalette().paper, line.widthF() + haloWidth));
    painter.drawLine(guide);
    painter.setPen(line);
    painter.drawLine(guide);
}

void AgreementMapCanvas::drawTolerance(QCPPainter& painter) const {
    const QPen dots = pen(currentPalette().quietInk, 1.0, {1.0, 2.5});
    for (const double shift : {tolerance_bpm, -tolerance_bpm}) {
        const double from = std::max(lowest_, lowest_ - shift), to = std::min(highest_, highest_ - shift);
        painter.setPen(dots);
        painter.drawLine(QLineF(pixel(from, from + shift), pixel(to, to + shift)));
    }
}

void AgreementMapCanvas::drawGuides(QCPPainter& painter) const {
    const Palette& palette = currentPalette();
    painter.save();
    painter.setClipRect(mapRect());
    painter.setAntialiasing(true);
    drawTolerance(painter);
    drawGuide(painter, 2.0, pen(palette.warning, 1.7, {1.2, 2.2}));
    drawGuide(painter, 0.5, pen(palette.warning, 1.7, {5.0, 3.0}));
    painter.setPen(pen(palette.ink, 0.8));
    painter.drawLine(QLineF(pixel(lowest_, lowest_), pixel(highest_, highest_)));
    painter.restore();
    drawGuideLabels(painter);
}

void AgreementMapCanvas::drawGuideLabels(QCPPainter& painter) const {
    const Palette& palette = currentPalette();
    const QFontMetricsF metrics(strongFont());
    const QRectF rect = mapRect();
    const double middle = (metrics.ascent() - metrics.descent()) / 2;
    painter.setFont(strongFont());
    drawHaloText(painter, {rect.right() + 6, rect.top() + middle}, QStringLiteral("1:1"), palette.ink,
                 palette.paper);
    if (highest_ / 2 > lowest_) {
        const QPointF right = pixel(highest_, highest_ / 2), top = pixel(highest_ / 2, highest_);
        drawHaloText(painter, {rect.right() + 6, right.y() + middle}, QStringLiteral("1:2"), palette.warning,
                     palette.paper);
        const double width = metrics.horizontalAdvance(QStringLiteral("2:1"));
        const double leftOf = top.x() - width - 8, rightOf = top.x() + 8;
        const double x = leftOf > rect.left() + 4 ? leftOf : rightOf;
        drawHaloText(painter, {x, rect.top() + metrics.ascent() + 4}, QStringLiteral("2:1"), palette.warning,
                     palette.paper);
    }
    painter.setFont(smallFont());
    const double test = lowest_ + (highest_ - lowest_) * 0.035;
    const QPointF below = pixel(test + tolerance_bpm, test);
    drawHaloText(painter, below + QPointF(8, middle), tr("\u00B1%1 bpm").arg(numberText(tolerance_bpm, 0)),
                 palette.quietInk, palette.paper);
}

void AgreementMapCanvas::drawMargins(QCPPainter& painter) const {
    if (map_.pairs == 0) return;
    const QRectF rect = mapRect();
    const double depth = histogramDepth();
    const double base = std::min(rect.right() + guideLabelWidth(), width() - 4 - depth);
    const auto most = [](const auto& totals) {
        return static_cast<double>(*std::ranges::max_element(totals));
    };
    const double mostReference = most(referenceTotals_), mostTest = most(testTotals_);
    const Palette& palette = currentPalette();
    painter.setAntialiasing(false);
    for (int i = 0; i < map_.cells; ++i) {
        const auto at = static_cast<std::size_t>(i);
        const QRectF cell = cellRect({i, i});
        const double across = std::max(1.0, cell.width() - (cell.width() > 4 ? 1.0 : 0.0));
        if (referenceTotals_[at] > 0) {
            const double height =
                std::max(1.0, depth * static_cast<double>(referenceTotals_[at]) / mostReference);
            painter.fillRect(QRectF(cell.left(), rect.top() - 4 - height, across, height), palette.quietInk);
        }
        if (testTotals_[at] > 0) {
            const double length = std::max(1.0, depth * static_cast<double>(testTotals_[at]) / mostTest);
            painter.fillRect(QRectF(base, cell.top(), length, across), palette.trace(test_));
        }
    }
    painter.setAntialiasing(true);
}

void AgreementMapCanvas::drawColourBar(QCPPainter& painter) const {
    if (map_.pairs == 0) return;
    const Palette& palette = currentPalette();
    QLinearGradient gradient(barBeside_ ? barRect().bottomLeft() : barRect().topLeft(),
                             barBeside_ ? barRect().topLeft() : barRect().topRight());
    for (std::size_t i = 0; i < palette.ramp.size(); ++i)
        gradient.setColorAt(static_cast<double>(i) / static_cast<double>(palette.ramp.size() - 1),
                            palette.ramp[i]);
    painter.fillRect(barRect(), gradient);
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(palette.hairline, 1.0));
    painter.drawRect(barRect());
    painter.setFont(smallFont());
    painter.setPen(palette.quietInk);
    if (barBeside_)
        drawBarLabelsBeside(painter);
    else
        drawBarLabelsBelow(painter);
}

QRectF AgreementMapCanvas::barRect() const {
    const QRectF rect = mapRect();
    const QFontMetricsF metrics(smallFont());
    if (!barBeside_) return {rect.left(), rect.bottom() + 2 * metrics.height() + 18, rect.width() * 0.42, 10};
    const double reach = histogramDepth() + guideLabelWidth() + barGap;
    return {rect.right() + reach, rect.center().y(), 10, rect.height() * 0.42};
}

QString AgreementMapCanvas::barTitle() const {
    const QString cell = tr("in a %1 \u00D7 %1 bpm cell").arg(cellWidth_);
    switch (scale_) {
        case ColourScale::Logarithmic:
            return tr("%1, logarithmic").arg(cell);
        case ColourScale::CubeRoot:
            return tr("%1, cube root").arg(cell);
        case ColourScale::Linear:
            break;
    }
    return cell;
}

void AgreementMapCanvas::drawBarLabelsBeside(QCPPainter& painter) const {
    const QFontMetricsF metrics(smallFont());
    const QRectF bar = barRect();
    const double x = bar.right() + 6, room = width() - x - 2;
    const double middle = (metrics.ascent() - metrics.descent()) / 2;
    double labelledTo = bar.bottom() - metrics.height();
    painter.drawText(QPointF(x, bar.bottom()), countedText(1));
    const double top = bar.top() + metrics.ascent();
    if (map_.largest > 1) painter.drawText(QPointF(x, top), countedText(map_.largest));
    for (std::uint32_t decade = 10; scale_ != ColourScale::Linear && decade < map_.largest; decade *= 10) {
        const double y = bar.bottom() - shareOf(decade) * bar.height() + middle;
        if (y > labelledTo - 2 || y < top + metrics.height() + 2) continue;
        painter.drawText(QPointF(x, y), countedText(decade));
        labelledTo = y - metrics.height();
    }
    painter.drawText(QRectF(bar.left(), bar.bottom() + 6, room + x - bar.left(), 3 * metrics.height()),
                     Qt::AlignLeft | Qt::AlignTop | Qt::TextWordWrap, barTitle());
}

void AgreementMapCanvas::drawBarLabelsBelow(QCPPainter& painter) const {
    const QFontMetricsF metrics(smallFont());
    const QRectF bar = barRect();
    const double y = bar.bottom() + 3 + metrics.ascent();
    const QString most = countedText(map_.largest);
    const double mostLeft = bar.right() - metrics.horizontalAdvance(most);
    double labelledTo = bar.left() + metrics.horizontalAdvance(countedText(1));
    painter.drawText(QPointF(bar.left(), y), countedText(1));
    if (map_.largest > 1) painter.drawText(QPointF(mostLeft, y), most);
    for (std::uint32_t decade = 10; scale_ != ColourScale::Linear && decade < map_.largest; decade *= 10) {
        const QString text = countedText(decade);
        const double advance = metrics.horizontalAdvance(text);
        const double left = bar.left() + shareOf(decade) * bar.width() - advance / 2;
        if (left < labelledTo + 8 || left + advance > mostLeft - 8) continue;
        painter.drawText(QPointF(left, y), text);
        labelledTo = left + advance;
    }
    const double room = width() - bar.right() - 14;
    painter.drawText(QPointF(bar.right() + 10, bar.center().y() + (metrics.ascent() - metrics.descent()) / 2),
                     metrics.elidedText(barTitle(), Qt::ElideRight, room));
}

void AgreementMapCanvas::drawTitles(QCPPainter& painter) const {
    const QRectF rect = mapRect();
    const QFontMetricsF metrics(smallFont());
    painter.setFont(smallFont());
    painter.setPen(currentPalette().quietInk);
    painter.drawText(
        QRectF(rect.left(), rect.bottom() + metrics.height() + 8, rect.width(), metrics.height()),
        Qt::AlignCenter, tr("reference, bpm"));
    if (isEmpty()) return;
    const double ticks = metrics.horizontalAdvance(numberText(200, 0)) + 8;
    painter.save();
    painter.translate(rect.left() - ticks - metrics.height() - 2, rect.center().y());
    painter.rotate(-90);
    const QString title = metrics.elidedText(tr("%1, bpm").arg(testName_), Qt::ElideRight, rect.height());
    painter.drawText(QRectF(-rect.height() / 2, 0, rect.height(), metrics.height()), Qt::AlignCenter, title);
    painter.restore();
    if (map_.pairs > 0) return;
    painter.setPen(currentPalette().ink);
    painter.drawText(rect.adjusted(12, 12, -12, -12), Qt::AlignCenter | Qt::TextWordWrap,
                     tr("There is no second in which both traces have a value."));
}

void AgreementMapCanvas::drawReadout(QCPPainter& painter, const QRectF& cell) const {
    const Palette& palette = currentPalette();
    const QFontMetricsF metrics(smallFont());
    const QString text = textOf(*cell_);
    const double boxWidth = metrics.horizontalAdvance(text) + 16, boxHeight = metrics.height() + 8;
    // Inside the map where it is wide enough, so that no tick label is covered.
    const double most = std::max(4.0, width() - boxWidth - 4);
    const double least = std::min(mapRect().left() + 4, most);
    const double left = std::clamp(cell.center().x() - boxWidth / 2, least, most);
    const bool below = cell.bottom() + 8 + boxHeight < mapRect().bottom();
    const QRectF box(left, below ? cell.bottom() + 8 : cell.top() - 8 - boxHeight, boxWidth, boxHeight);
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.badge);
    painter.drawRoundedRect(box, 4, 4);
    painter.setFont(smallFont());
    painter.setPen(palette.onBadge);
    painter.drawText(box, Qt::AlignCenter, text);
}

void AgreementMapCanvas::drawArea(QCPPainter& painter) const {
    const Palette& palette = currentPalette();
    painter.save();
    painter.setClipRect(mapRect());
    painter.setBrush(Qt::NoBrush);
    for (const auto& line : {pen(palette.paper, 4.0), pen(palette.accent, 2.0)}) {
        painter.setPen(line);
        if (box_)
            painter.drawRect(QRectF(pixel(box_->referenceLow_bpm, box_->testHigh_bpm),
                                    pixel(box_->referenceHigh_bpm, box_->testLow_bpm)));
        if (band_)
            for (const double side : {-band_->halfWidth_bpm, band_->halfWidth_bpm})
                painter.drawLine(QLineF(pixel(lowest_, lowest_ * band_->ratio + side),
                                        pixel(highest_, highest_ * band_->ratio + side)));
    }
    painter.restore();
}

void AgreementMapCanvas::drawCursor(QCPPainter& painter) const {
    if (map_.pairs == 0) return;
    const Palette& palette = currentPalette();
    painter.setAntialiasing(true);
    drawArea(painter);
    painter.setBrush(Qt::NoBrush);
    if (ring_) {
        const QPointF centre = pixel(ring_->first, ring_->second);
        painter.setPen(QPen(palette.paper, 5.0));
        painter.drawEllipse(centre, 7.0, 7.0);
        painter.setPen(QPen(palette.accent, 2.5));
        painter.drawEllipse(centre, 7.0, 7.0);
    }
    if (!cell_) return;
    const QRectF cell = cellRect(*cell_).adjusted(-1, -1, 1, 1);
    painter.setPen(QPen(palette.paper, 4.0));
    painter.drawRect(cell);
    painter.setPen(QPen(palette.ink, 1.5));
    painter.drawRect(cell);
    drawReadout(painter, cell);
}

}  // namespace beatwitness::widgets
