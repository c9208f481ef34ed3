// What people mark on a session: TimelineCanvas's lane of phases, pins, the filter's stretches, bands.
#include <QCoreApplication>
#include <algorithm>
#include <cmath>

#include "widgets/format/number_text.h"
#include "widgets/plots/timeline_canvas.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

constexpr double edgeReach = 5.0;  ///< pixels from a phase's edge that take hold of it
constexpr double litShare = 0.10;

/// How dark a phase of each kind is drawn: the harder, the darker.
double shadeOf(trace::PhaseKind kind) {
    switch (kind) {
        case trace::PhaseKind::Effort:
        case trace::PhaseKind::Set:
            return 0.34;
        case trace::PhaseKind::Rise:
        case trace::PhaseKind::Steady:
            return 0.26;
        case trace::PhaseKind::WarmUp:
        case trace::PhaseKind::CoolDown:
            return 0.18;
        case trace::PhaseKind::Recovery:
        case trace::PhaseKind::Rest:
        case trace::PhaseKind::Other:
            return 0.13;
    }
    return 0.13;
}

QPen solid(const QColor& colour, double width) {
    return {colour, width, Qt::SolidLine, Qt::FlatCap};
}

}  // namespace

QString phaseName(trace::PhaseKind kind) {
    const auto tr = [](const char* text) { return QCoreApplication::translate("PhaseName", text); };
    switch (kind) {
        case trace::PhaseKind::WarmUp:
            return tr("warm-up");
        case trace::PhaseKind::Effort:
            return tr("effort");
        case trace::PhaseKind::Recovery:
            return tr("recovery");
        case trace::PhaseKind::Rest:
            return tr("rest");
        case trace::PhaseKind::Set:
            return tr("set");
        case trace::PhaseKind::Rise:
            return tr("rise");
        case trace::PhaseKind::Steady:
            return tr("steady");
        case trace::PhaseKind::CoolDown:
            return tr("cool-down");
        case trace::PhaseKind::Other:
            return tr("other");
    }
    return {};
}

void TimelineCanvas::setMarks(TimelineMarks marks) {
    if (marks == marks_) return;
    const int before = phaseRows();
    marks_ = std::move(marks);
    if (phaseRows() != before) return place();
    redraw();
}

void TimelineCanvas::setSelectedRange(std::optional<Stretch> range) {
    if (selectedRange_ == range) return;
    selectedRange_ = range;
    redrawCursor(rect());
}

void TimelineCanvas::setDraft(std::optional<Stretch> draft) {
    if (draft_ == draft) return;
    draft_ = draft;
    redrawCursor(rect());
}

int TimelineCanvas::phaseRows() const {
    int deepest = 0;
    for (const PhaseBar& bar : marks_.phases)
        deepest = std::max(deepest, bar.level);
    return deepest + 1 + (marks_.proposals.empty() ? 0 : 1);
}

void TimelineCanvas::placePhases(int left, int right, int line) {
    phases_->setMargins(QMargins(left, 5, right, 2 * line + 8));
    const int height = phaseRows() * (line + 5) - 2;
    phases_->setMinimumSize(10, height);
    phases_->setMaximumSize(QWIDGETSIZE_MAX, height);
}

QRectF TimelineCanvas::phaseRow(int row) const {
    const QRectF rect = phasesRect();
    const double height = (rect.height() + 2) / phaseRows();
    return {rect.left(), rect.top() + row * height, rect.width(), height - 2};
}

QRectF TimelineCanvas::phaseBar(const PhaseBar& bar, int row) const {
    const Viewport view = viewOf(overlay_);
    const QRectF place = phaseRow(row);
    const double left = std::clamp(view.x(bar.begin_s), place.left(), place.right());
    const double right = std::clamp(view.x(bar.end_s), place.left(), place.right());
    return {left, place.top(), right - left, place.height()};
}

std::optional<TimelineCanvas::PhaseHit> TimelineCanvas::phaseAt(QPointF position) const {
    const Viewport view = viewOf(overlay_);
    const auto hit = [&](const std::vector<PhaseBar>& bars, int index, int row,
                         bool proposal) -> std::optional<PhaseHit> {
        const PhaseBar& bar = bars[static_cast<std::size_t>(index)];
        const QRectF place = phaseRow(row);
        if (position.y() < place.top() || position.y() > place.bottom()) return std::nullopt;
        const double left = view.x(bar.begin_s), right = view.x(bar.end_s);
        // Inside first, so that of two that touch each edge can be had from its own side.
        if (position.x() < left || position.x() > right) return std::nullopt;
        // A narrow bar keeps a middle by which it is selected.
        const double reach = std::min(edgeReach, (right - left) / 4);
        const Part part = position.x() - left < reach    ? Part::Begin
                          : right - position.x() < reach ? Part::End
                                                         : Part::Body;
        return PhaseHit{index, part, proposal};
    };
    for (int i = 0; i < static_cast<int>(marks_.phases.size()); ++i)
        if (const auto found = hit(marks_.phases, i, marks_.phases[static_cast<std::size_t>(i)].level, false))
            return found;
    for (int i = 0; i < static_cast<int>(marks_.proposals.size()); ++i)
        if (const auto found = hit(marks_.proposals, i, phaseRows() - 1, true)) return found;
    return std::nullopt;
}

const flags::Flag* TimelineCanvas::flagAt(QPointF position) const {
    for (const Lane& lane : laneRows_)
        for (auto flag = lane.flags.rbegin(); flag != lane.flags.rend(); ++flag)
            if (laneBar(lane, **flag).adjusted(-2, 0, 2, 0).contains(position)) return *flag;
    return nullptr;
}

std::optional<TimelineCanvas::FlagHit> TimelineCanvas::flagEdgeAt(QPointF position) const {
    const auto* flag = flagAt(position);
    if (!flag) return std::nullopt;
    for (const Lane& lane : laneRows_) {
        if (std::ranges::find(lane.flags, flag) == lane.flags.end()) continue;
        const QRectF bar = laneBar(lane, *flag);
        const double reach = std::min(5.0, bar.width() / 3);
        if (position.x() <= bar.left() + reach) return FlagHit{flag, Part::Begin};
        if (position.x() >= bar.right() - reach) return FlagHit{flag, Part::End};
    }
    return FlagHit{flag, Part::Body};
}

std::optional<int> TimelineCanvas::laneAt(QPointF position) const {
    const QRectF rect = lanesRect();
    if (laneRows_.empty() || !rect.contains(position)) return std::nullopt;
    const double rowHeight = (rect.height() + 2) / static_cast<double>(laneRows_.size());
    const auto row = static_cast<std::size_t>((position.y() - rect.top()) / rowHeight);
    return laneRows_[std::min(row, laneRows_.size() - 1)].test;
}

void TimelineCanvas::drawPhases(QCPPainter& painter) const {
    if (!session_) return;
    const Palette& palette = currentPalette();
    const QFontMetricsF metrics(smallFont());
    painter.setFont(smallFont());
    const int rows = phaseRows();
    for (int row = 0; row < rows; ++row) {
        const QRectF place = phaseRow(row);
        painter.setPen(Qt::NoPen);
        painter.setBrush(palette.surface);
        painter.drawRoundedRect(place, 3, 3);
        const bool proposals = !marks_.proposals.empty() && row == rows - 1;
        if (row > 0 && !proposals) continue;
        painter.setPen(palette.quietInk);
        painter.drawText(QRectF(0, place.top(), place.left() - 8, place.height()),
                         Qt::AlignRight | Qt::AlignVCenter, proposals ? tr("proposals") : tr("phases"));
    }
    for (std::size_t i = 0; i < marks_.phases.size(); ++i) {
        const PhaseBar& bar = marks_.phases[i];
        const QRectF rect = phaseBar(bar, bar.level);
        if (rect.width() > 0) drawPhaseBar(painter, bar, rect, marks_.selectedPhase == static_cast<int>(i));
    }
    for (const PhaseBar& bar : marks_.proposals) {
        const QRectF rect = phaseBar(bar, rows - 1);
        if (rect.width() > 0) drawProposal(painter, bar, rect);
    }
    if (marks_.phases.empty() && marks_.proposals.empty()) {
        const QRectF place = phaseRow(0).adjusted(8, 0, -8, 0);
        painter.setPen(palette.quietInk);
        painter.drawText(place, Qt::AlignLeft | Qt::AlignVCenter,
                         metrics.elidedText(tr("Drag here to mark a phase."), Qt::ElideRight, place.width()));
    }
}

void TimelineCanvas::drawPhaseBar(QCPPainter& painter, const PhaseBar& bar, const QRectF& rect,
                                  bool selected) const {
    const Palette& palette = currentPalette();
    const QFontMetricsF metrics(smallFont());
    const QColor fill = mixed(palette.paper, palette.ink, shadeOf(bar.kind));
    const QRectF body = rect.adjusted(0.5, 0, -0.5, 0);
    if (rect.width() < 4) {
        painter.fillRect(rect.toAlignedRect(), selected ? palette.accent : fill);
        return;
    }
    painter.setPen(selected ? QPen(palette.accent, 2.0) : Qt::NoPen);
    painter.setBrush(fill);
    painter.drawRoundedRect(selected ? body.adjusted(1, 1, -1, -1) : body, 3, 3);
    const double room = rect.width() - 8;
    if (room < metrics.averageCharWidth() * 3) return;
    painter.setPen(palette.ink);
    painter.drawText(rect, Qt::AlignCenter, metrics.elidedText(bar.label, Qt::ElideRight, room));
}

void TimelineCanvas::drawProposal(QCPPainter& painter, const PhaseBar& bar, const QRectF& rect) const {
    const Palette& palette = currentPalette();
    const QFontMetricsF metrics(smallFont());
    painter.setAntialiasing(false);
    painter.setPen(QPen(palette.quietInk, 1.0, Qt::DashLine));
    painter.setBrush(Qt::NoBrush);
    painter.drawRect(rect.adjusted(1, 0, -1, -1));
    painter.setAntialiasing(true);
    const double room = rect.width() - 8;
    if (room < metrics.averageCharWidth() * 3) return;
    painter.setPen(palette.quietInk);
    painter.drawText(rect, Qt::AlignCenter, metrics.elidedText(bar.label, Qt::ElideRight, room));
}

/// The seconds that pass the filter: a tint behind the traces and a solid bar over them and in the overview.
void TimelineCanvas::drawLit(QCPPainter& painter) const {
    if (!session_ || !marks_.filtered) return;
    const Palette& palette = currentPalette();
    const Viewport view = viewOf(overlay_), over = overviewViewport();
    const QColor tint = mixed(palette.paper, palette.accent, litShare);
    painter.setAntialiasing(false);
    // Ascending: what falls on the pixels of the one before is drawn with it.
    double drawnTo = -1e9;
    for (const auto& [begin, end] : marks_.lit) {
        const double x = over.x(begin);
        if (x >= drawnTo || over.x(end) > drawnTo) {
            const double right = std::max(over.x(end), x + 2);
            painter.fillRect(QRectF(x, over.rect.top() - 5, right - x, 3).toAlignedRect(), palette.accent);
            drawnTo = right;
        }
    }
    drawnTo = -1e9;
    for (const auto& [begin, end] : marks_.lit) {
        if (end < range_.first || begin > range_.second) continue;
        const double left = std::max(std::max(view.x(begin), view.rect.left()), drawnTo);
        const double right = std::min(std::max(view.x(end), view.x(begin) + 2), view.rect.right());
        if (right <= left) continue;
        for (const QRectF& strip : {overlayRect(), errorRect()})
            painter.fillRect(QRectF(left, strip.top(), right - left, strip.height()).toAlignedRect(), tint);
        painter.fillRect(QRectF(left, errorRect().bottom() + 1, right - left, 4).toAlignedRect(),
                         palette.accent);
        drawnTo = right;
    }
}

void TimelineCanvas::drawPins(QCPPainter& painter) const {
    if (!session_) return;
    const Palette& palette = currentPalette();
    const QFontMetricsF metrics(smallFont());
    const Viewport view = viewOf(overlay_);
    const QRectF overlay = overlayRect();
    painter.setFont(smallFont());
    double labelledTo = overlay.left();
    for (std::size_t i = 0; i < marks_.pins.size(); ++i) {
        const PinMark& pin = marks_.pins[i];
        if (pin.at_s < range_.first || pin.at_s > range_.second) continue;
        const double x = std::round(view.x(pin.at_s));
        painter.setAntialiasing(false);
        for (double y = overlay.top(); y < errorRect().bottom(); y += 6)
            painter.fillRect(QRectF(x, y, 1, 3), palette.quietInk);
        painter.setAntialiasing(true);
        const QString number = QString::number(i + 1);
        const double side = metrics.height();
        const QRectF head(x - std::max(side, metrics.horizontalAdvance(number) + 8) / 2,
                          overlay.bottom() - side - 2, std::max(side, metrics.horizontalAdvance(number) + 8),
                          side);
        painter.setPen(Qt::NoPen);
        painter.setBrush(palette.badge);
        painter.drawRoundedRect(head, side / 2, side / 2);
        painter.setPen(palette.onBadge);
        painter.drawText(head, Qt::AlignCenter, number);
        const double room = overlay.right() - head.right() - 4;
        if (pin.note.isEmpty() || head.left() < labelledTo || room < 40) continue;
        const QString note = metrics.elidedText(pin.note, Qt::ElideRight, std::min(room, 160.0));
        drawHaloText(painter, {head.right() + 4, head.bottom() - metrics.descent()}, note, palette.ink,
                     palette.paper);
        labelledTo = head.right() + 8 + metrics.horizontalAdvance(note);
    }
}

void TimelineCanvas::drawBands(QCPPainter& painter) const {
    if (!session_) return;
    if (selectedRange_) drawBand(painter, *selectedRange_, false);
    if (draft_) drawBand(painter, *draft_, true);
}

/// Two upright lines and a bar with the duration over them.
void TimelineCanvas::drawBand(QCPPainter& painter, const Stretch& band, bool draft) const {
    const Palette& palette = currentPalette();
    const QFontMetricsF metrics(smallFont());
    const Viewport view = viewOf(overlay_);
    if (band.second < range_.first || band.first > range_.second) return;
    const double left = std::clamp(view.x(band.first), view.rect.left(), view.rect.right());
    const double right = std::clamp(view.x(band.second), view.rect.left(), view.rect.right());
    const double top = overlayRect().top(), bottom = draft ? phasesRect().bottom() : errorRect().bottom();
    painter.setAntialiasing(true);
    painter.setPen(solid(palette.accent, 2.0));
    for (const double x : {left, right})
        painter.drawLine(QPointF(x, top), QPointF(x, bottom));
    const QString text = secondsText(band.second - band.first);
    const double boxWidth = metrics.horizontalAdvance(text) + 12, height = metrics.height() + 2;
    painter.fillRect(QRectF(left, top, right - left, 3), palette.accent);
    const double middle =
        std::clamp((left + right) / 2, view.rect.left() + boxWidth / 2, view.rect.right() - boxWidth / 2);
    const QRectF box(middle - boxWidth / 2, top, boxWidth, height);
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.accent);
    painter.drawRoundedRect(box, 3, 3);
    painter.setPen(palette.onAccent);
    painter.setFont(smallFont());
    painter.drawText(box, Qt::AlignCenter, text);
}

}  // namespace beatwitness::widgets
