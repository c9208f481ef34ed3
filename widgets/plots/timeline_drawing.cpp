// The painting half of TimelineCanvas: what each strip shows, undermost first.
#include <algorithm>
#include <array>
#include <cmath>

#include "core/trace/value_at.h"
#include "widgets/format/number_text.h"
#include "widgets/plots/context_line.h"
#include "widgets/plots/cursor_reading.h"
#include "widgets/plots/timeline_canvas.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

constexpr double tintShare = 0.15;
/// The hatch of a tint: seen, yet quieter than the traces over it.
constexpr double hatchShare = 0.38;
constexpr double tintSpacing = 9.0;
constexpr double barSpacing = 4.0;
constexpr double overviewWidth = 1.0;
constexpr double toleranceBand_bpm = 5.0;
constexpr double toleranceShare = 0.14;

/// Narrower than this the two dashed sides of a tint would run into each other.
constexpr double leastDashed = 6.0;

/// A vertical dashed line as filled pieces: Qt takes twenty times as long over a dashed pen.
void drawDashes(QPainter& painter, double x, double top, double bottom, const QColor& colour) {
    constexpr double dash = 6.0, gap = 4.0, width = 1.4;
    for (double y = top; y < bottom; y += dash + gap)
        painter.fillRect(QRectF(x - width / 2, y, width, std::min(dash, bottom - y)), colour);
}

/// A flag's tint over `rect`: colour first, then the hatch that tells its kind without colour. Opaque,
/// because Qt hands translucent areas to its threads one by one; so it belongs under the grid.
void drawTint(QPainter& painter, const QRectF& rect, const FlagStyle& style) {
    painter.fillRect(rect.toAlignedRect(), mixed(currentPalette().paper, style.colour, tintShare));
    if (rect.width() < leastDashed) return;
    if (style.hatch == Hatch::HollowDashed) {
        drawDashes(painter, rect.left(), rect.top(), rect.bottom(), style.colour);
        drawDashes(painter, rect.right(), rect.top(), rect.bottom(), style.colour);
    }
    drawHatch(painter, rect, style.hatch, mixed(currentPalette().paper, style.colour, hatchShare),
              tintSpacing);
}

/// A solid bar with its hatch and, where there is room, its code on a plain field.
void drawLaneBar(QPainter& painter, const QRectF& bar, const FlagStyle& style, const QFontMetricsF& metrics) {
    painter.setPen(Qt::NoPen);
    painter.setBrush(style.colour);
    painter.drawRoundedRect(bar, 3, 3);
    const QColor text = textOn(style.colour);
    drawHatch(painter, bar.adjusted(1, 1, -1, -1), style.hatch, mixed(style.colour, text, hatchShare),
              barSpacing);
    const QString code = QString::fromUtf8(style.code);
    const double width = metrics.horizontalAdvance(code) + 6;
    if (bar.width() < width) return;
    const QRectF field(bar.center().x() - width / 2, bar.top(), width, bar.height());
    painter.fillRect(field, style.colour);
    painter.setPen(text);
    painter.drawText(field, Qt::AlignCenter, code);
}

/// A flag that a reviewer took out: an empty dashed outline.
void drawDismissed(QPainter& painter, const QRectF& bar, const FlagStyle& style) {
    painter.setPen(QPen(style.colour, 1.2, Qt::DashLine));
    painter.setBrush(Qt::NoBrush);
    painter.drawRoundedRect(bar.adjusted(0.6, 0.6, -0.6, -0.6), 3, 3);
}

/// One that a reviewer confirmed or changed: framed in ink.
void drawDecided(QPainter& painter, const QRectF& bar) {
    painter.setPen(QPen(currentPalette().ink, 2));
    painter.setBrush(Qt::NoBrush);
    painter.drawRoundedRect(bar.adjusted(1, 1, -1, -1), 3, 3);
}

/// A mark beside a trace's name, so that colour is never alone. Reference: a bar.
void drawMark(QPainter& painter, QPointF centre, int trace, const QColor& colour) {
    painter.setPen(Qt::NoPen);
    painter.setBrush(colour);
    const double r = 4.0;
    if (trace < 0) {
        painter.drawRect(QRectF(centre.x() - 5, centre.y() - 1.2, 10, 2.4));
        return;
    }
    const QPointF up(0, -r * 1.15), right(r * 1.15, 0);
    switch (trace % 4) {
        case 0:
            painter.drawEllipse(centre, r, r);
            break;
        case 1:
            painter.drawRect(QRectF(centre.x() - r + 0.5, centre.y() - r + 0.5, 2 * r - 1, 2 * r - 1));
            break;
        case 2: {
            const std::array corners{centre + up, centre - up * 0.8 + right, centre - up * 0.8 - right};
            painter.drawPolygon(corners.data(), static_cast<int>(corners.size()));
            break;
        }
        default: {
            const std::array corners{centre + up, centre + right, centre - up, centre - right};
            painter.drawPolygon(corners.data(), static_cast<int>(corners.size()));
        }
    }
}

struct EndLabel {
    int trace;  ///< -1: reference
    QString text;
    QColor colour;
    double value_y;
    double y;
};

/// Pushes labels apart to at least `spacing` and into [top, bottom], each as near to its line's end as that
/// allows: neighbours that would overlap form a block about their common middle. Requires: ascending y.
void spread(std::vector<EndLabel>& labels, double spacing, double top, double bottom) {
    for (int pass = 0; pass < 32; ++pass) {
        bool moved = false;
        for (std::size_t i = 1; i < labels.size(); ++i) {
            const double missing = spacing - (labels[i].y - labels[i - 1].y);
            if (missing <= 0.01) continue;
            labels[i - 1].y -= missing / 2;
            labels[i].y += missing / 2;
            moved = true;
        }
        if (!moved) break;
    }
    double least = top;
    for (auto& label : labels) {
        label.y = std::max(label.y, least);
        least = label.y + spacing;
    }
    double most = bottom;
    for (auto label = labels.rbegin(); label != labels.rend(); ++label) {
        label->y = std::min(label->y, most);
        most = label->y - spacing;
    }
}

/// The last value of a line in sight, or none.
std::optional<double> lastValue(const DrawnLine& line, double begin_s, double end_s) {
    const auto after = std::ranges::upper_bound(line.seconds, end_s) - line.seconds.begin();
    if (after == 0) return std::nullopt;
    const auto last = static_cast<std::size_t>(after) - 1;
    if (line.seconds[last] < begin_s) return std::nullopt;
    return static_cast<double>(line.values[last]);
}

}  // namespace

void TimelineCanvas::drawOverview(QCPPainter& painter) {
    if (!session_) return;
    const Palette& palette = currentPalette();
    const Viewport view = overviewViewport();
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.surface);
    painter.drawRoundedRect(view.rect, 3, 3);
    const QRectF window = windowRect();
    painter.fillRect(window, palette.accentTint);

    Viewport traces = view;
    traces.rect.adjust(0, 4, 0, -7);
    painter.setAntialiasing(false);  // which also takes QCPPainter's shift by half a pixel away
    overviewImage_.draw(painter, traces, lines_, overviewWidth);

    for (const Lane& lane : laneRows_)
        for (const auto* flag : lane.flags) {
            const double left = view.x(secondsOf(flag->span.begin)),
                         right = view.x(secondsOf(flag->span.end));
            const double width = std::max(3.0, right - left);
            painter.fillRect(QRectF(left, view.rect.bottom() - 4, width, 4).toAlignedRect(),
                             palette.flag(flag->kind).colour);
        }
    painter.setAntialiasing(true);
    painter.setPen(QPen(palette.accent, 1.5));
    painter.setBrush(Qt::NoBrush);
    painter.drawRoundedRect(window.adjusted(0.75, -1, -0.75, 1), 3, 3);
}

void TimelineCanvas::drawTolerance(QCPPainter& painter) const {
    if (!session_ || session_->tests.empty()) return;
    const Palette& palette = currentPalette();
    const Viewport view = viewOf(error_);
    painter.setAntialiasing(false);
    painter.fillRect(QRectF(QPointF(view.rect.left(), view.y(toleranceBand_bpm)),
                            QPointF(view.rect.right(), view.y(-toleranceBand_bpm)))
                         .toAlignedRect(),
                     mixed(palette.paper, palette.quietInk, toleranceShare));
}

void TimelineCanvas::drawTints(QCPPainter& painter) const {
    if (!session_ || session_->tests.empty()) return;
    const Viewport view = viewOf(overlay_);
    const QFontMetricsF metrics(smallFont());
    painter.setAntialiasing(false);
    painter.setFont(smallFont());
    double labelledTo = view.rect.left();
    for (const auto& flag : session_->tests[static_cast<std::size_t>(focus_)].flags) {
        const double begin = secondsOf(flag.span.begin), end = secondsOf(flag.span.end);
        if (end < range_.first || begin > range_.second) continue;
        const double left = std::max(view.x(begin), view.rect.left());
        const double right = std::min(std::max(view.x(end), left + 2), view.rect.right());
        const QRectF rect(QPointF(left, view.rect.top()), QPointF(right, view.rect.bottom()));
        const FlagStyle& style = currentPalette().flag(flag.kind);
        drawTint(painter, rect, style);
        // The code stands above the plot, where neither cursor nor trace can hide it.
        const QString code = QString::fromUtf8(style.code);
        const double width = metrics.horizontalAdvance(code);
        const double x =
            std::clamp(rect.center().x() - width / 2, view.rect.left(), view.rect.right() - width);
        if (x < labelledTo) continue;
        painter.setPen(currentPalette().ink);
        painter.drawText(QPointF(x, view.rect.top() - metrics.descent() - 2), code);
        labelledTo = x + width + 6;
    }
}

void TimelineCanvas::drawOverlay(QCPPainter& painter) {
    painter.setAntialiasing(false);
    image_.draw(painter, viewOf(overlay_), lines_, {}, quality());
    painter.setAntialiasing(true);
}

void TimelineCanvas::drawError(QCPPainter& painter) {
    if (!session_ || session_->tests.empty()) return;
    const Palette& palette = currentPalette();
    const Viewport view = viewOf(error_);
    painter.setAntialiasing(false);
    painter.setPen(QPen(palette.quietInk, 1.0));
    painter.drawLine(QPointF(view.rect.left(), view.y(0)), QPointF(view.rect.right(), view.y(0)));
    image_.draw(painter, view, errors_, {}, quality());
    painter.setAntialiasing(true);
}

QRectF TimelineCanvas::laneBar(const Lane& lane, const flags::Flag& flag) const {
    const QRectF rect = lanesRect();
    const auto row = static_cast<double>(&lane - laneRows_.data());
    const double rowHeight = (rect.height() + 2) / static_cast<double>(laneRows_.size());
    const Viewport view = viewOf(overlay_);
    const double left = std::max(view.x(secondsOf(flag.span.begin)), rect.left());
    const double right = std::min(std::max(view.x(secondsOf(flag.span.end)), left + 3), rect.right());
    return {left, rect.top() + row * rowHeight, right - left, rowHeight - 2};
}

void TimelineCanvas::drawLanes(QCPPainter& painter) const {
    const Palette& palette = currentPalette();
    const QRectF rect = lanesRect();
    const QFontMetricsF metrics(smallFont());
    painter.setFont(smallFont());
    for (std::size_t i = 0; i < laneRows_.size(); ++i) {
        const double rowHeight = (rect.height() + 2) / static_cast<double>(laneRows_.size());
        const QRectF row(rect.left(), rect.top() + static_cast<double>(i) * rowHeight, rect.width(),
                         rowHeight - 2);
        painter.setPen(Qt::NoPen);
        painter.setBrush(palette.surface);
        painter.drawRoundedRect(row, 3, 3);
        painter.setPen(palette.quietInk);
        const QString name = metrics.elidedText(laneRows_[i].name, Qt::ElideRight, rect.left() - 12);
        painter.drawText(QRectF(0, row.top(), rect.left() - 8, row.height()),
                         Qt::AlignRight | Qt::AlignVCenter, name);
        for (const auto* flag : laneRows_[i].flags) {
            if (secondsOf(flag->span.end) < range_.first || secondsOf(flag->span.begin) > range_.second)
                continue;
            const FlagStyle& style = palette.flag(flag->kind);
            const QRectF bar = laneBar(laneRows_[i], *flag);
            if (flag->verdict == flags::Verdict::Dismissed) {
                drawDismissed(painter, bar, style);
                continue;
            }
            if (bar.width() < 4) {
                painter.fillRect(bar.toAlignedRect(), style.colour);
                continue;
            }
            drawLaneBar(painter, bar, style, metrics);
            if (flag->verdict) drawDecided(painter, bar);
        }
    }
}

void TimelineCanvas::drawTitles(QCPPainter& painter) const {
    const QFontMetricsF metrics(smallFont());
    painter.setFont(smallFont());
    painter.setPen(currentPalette().quietInk);
    if (!session_) {
        painter.drawText(QRectF(rect()), Qt::AlignCenter, tr("No recording pair is open."));
        return;
    }
    const QRectF overlay = overlayRect();
    painter.drawText(QRectF(0, overlay.top() - metrics.height() - 4, overlay.left() - 6, metrics.height()),
                     Qt::AlignRight | Qt::AlignVCenter, tr("bpm"));
    drawContextTitle(painter);
    if (session_->tests.empty()) return;
    const QRectF error = errorRect();
    const QString title =
        allErrors_ ? tr("errors of all tests, bpm (test minus reference)")
                   : tr("error of %1, bpm (test minus reference)").arg(testName(*session_, focus_));
    const QRectF room(error.left(), error.top() - metrics.height() - 4, width() - error.left() - 8,
                      metrics.height());
    painter.drawText(room, Qt::AlignLeft | Qt::AlignVCenter,
                     metrics.elidedText(title, Qt::ElideRight, room.width()));
    const double zero = viewOf(error_).y(0);
    painter.drawText(QRectF(error.right() + 8, zero - metrics.height() / 2, width() - error.right() - 10,
                            metrics.height()),
                     Qt::AlignLeft | Qt::AlignVCenter, QStringLiteral("\u00B15"));
}

void TimelineCanvas::drawEndLabels(QCPPainter& painter) const {
    if (!session_) return;
    const Viewport view = viewOf(overlay_);
    const QFontMetricsF metrics(smallFont());
    std::vector<EndLabel> labels;
    for (std::size_t i = 0; i < lines_.size(); ++i) {
        const auto value = lastValue(lines_[i], range_.first, range_.second);
        if (!value) continue;
        const int trace = lineTests_[i];
        const double y = view.y(*value);
        labels.push_back(
            {trace, trace < 0 ? tr("reference") : testName(*session_, trace), lines_[i].colour, y, y});
    }
    std::ranges::stable_sort(labels, {}, &EndLabel::y);
    const double half = metrics.height() / 2;
    spread(labels, metrics.height() + 1, view.rect.top() + half, view.rect.bottom() - half);

    painter.setFont(smallFont());
    painter.setAntialiasing(true);
    const double x = view.rect.right();
    for (const EndLabel& label : labels) {
        painter.setPen(QPen(label.colour, 1.0));
        painter.drawLine(QPointF(x + 1, label.value_y), QPointF(x + 8, label.y));
        drawMark(painter, {x + 13, label.y}, label.trace, label.colour);
        painter.setPen(currentPalette().ink);
        const double room = width() - x - 24;
        painter.drawText(QRectF(x + 22, label.y - half, room, metrics.height()),
                         Qt::AlignLeft | Qt::AlignVCenter,
                         metrics.elidedText(label.text, Qt::ElideRight, room));
    }
}

void TimelineCanvas::drawCursorDiscs(QCPPainter& painter, double x) const {
    const Palette& palette = currentPalette();
    const SessionTime at = sessionTime(*cursor_);
    const auto disc = [&](double y, const QColor& colour) {
        painter.setPen(QPen(colour, 2.0));
        painter.setBrush(palette.paper);
        painter.drawEllipse(QPointF(x, y), 4.0, 4.0);
    };
    const Viewport rates = viewOf(overlay_);
    for (auto test = shown_.rbegin(); test != shown_.rend(); ++test) {
        const auto& analysed = session_->tests[static_cast<std::size_t>(*test)];
        const bool tried = previewTrace_ && *test == focus_;
        if (const auto rate =
                trace::valueAt(tried ? *previewTrace_ : shownView(analysed, aligned_).trace, at))
            disc(rates.y(rate->value), palette.trace(*test));
    }
    if (const auto rate = trace::valueAt(session_->referenceTrace, at))
        disc(rates.y(rate->value), palette.reference);
    if (context_)
        if (const auto value = contextValueAt(*context_, *cursor_))
            disc(viewOf(contextRect_).y(*value), contextLine_.colour);
    if (session_->tests.empty()) return;
    if (const auto error = readingAt(*session_, focus_, aligned_, *cursor_).error)
        disc(viewOf(error_).y(error->value), palette.trace(focus_));
}

void TimelineCanvas::drawTimeBadge(QCPPainter& painter, double x) const {
    const Palette& palette = currentPalette();
    const QFontMetricsF metrics(smallFont());
    const QString text = sessionTimeText(*cursor_);
    const double badgeWidth = metrics.horizontalAdvance(text) + 16, badgeHeight = metrics.height() + 6;
    const double left = std::clamp(x - badgeWidth / 2, 2.0, std::max(2.0, width() - badgeWidth - 2));
    const QRectF badge(left, phasesRect().bottom() + 5, badgeWidth, badgeHeight);
    // A tick label half under the badge would be misread: the whole of it gives way.
    const Viewport view = viewOf(overlay_);
    for (const double tick : phases_->axis(QCPAxis::atBottom)->tickVector()) {
        const double half = metrics.horizontalAdvance(sessionTimeText(tick)) / 2 + 2;
        if (view.x(tick) + half < badge.left() || view.x(tick) - half > badge.right()) continue;
        painter.fillRect(QRectF(view.x(tick) - half, badge.top(), 2 * half, badge.height()), palette.paper);
    }
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.badge);
    painter.drawRoundedRect(badge, 4, 4);
    painter.setPen(palette.onBadge);
    painter.setFont(smallFont());
    painter.drawText(badge, Qt::AlignCenter, text);
}

void TimelineCanvas::drawCursor(QCPPainter& painter) const {
    drawBands(painter);
    if (!session_ || !cursor_) return;
    painter.setAntialiasing(true);
    const double overviewX = overviewViewport().x(*cursor_);
    painter.setPen(QPen(currentPalette().ink, 1.0));
    painter.drawLine(QPointF(overviewX, overviewRect().top()), QPointF(overviewX, overviewRect().bottom()));
    const double x = viewOf(overlay_).x(*cursor_);
    if (x < overlayRect().left() - 0.5 || x > overlayRect().right() + 0.5) return;
    painter.setPen(QPen(currentPalette().ink, 1.25));
    // The lanes stay free of it: it would strike through a code.
    painter.drawLine(QPointF(x, overlayRect().top()), QPointF(x, lanesRect().top() - 2));
    painter.drawLine(QPointF(x, lanesRect().bottom() + 1), QPointF(x, phasesRect().top() - 1));
    painter.drawLine(QPointF(x, phasesRect().bottom() + 2), QPointF(x, phasesRect().bottom() + 6));
    drawCursorDiscs(painter, x);
    drawTimeBadge(painter, x);
}

}  // namespace beatwitness::widgets
