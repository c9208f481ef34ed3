// TimelineView's mouse: what a drag does, and what its edges snap to.
#include <QApplication>
#include <QHelpEvent>
#include <QMouseEvent>
#include <QToolTip>
#include <algorithm>
#include <cmath>
#include <utility>

#include "widgets/format/number_text.h"
#include "widgets/plots/timeline_canvas.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::widgets {
namespace {

constexpr double windowReach = 6.0;  ///< pixels from the edge of the overview's window that take hold of it
constexpr double snapReach = 6.0;    ///< pixels within which an edge falls on a mark
constexpr double shortestDraft_s = 1.0;

Stretch ordered(double a, double b) {
    return {std::min(a, b), std::max(a, b)};
}

}  // namespace

void TimelineView::mousePressEvent(QMouseEvent* event) {
    if (event->button() != Qt::LeftButton || !session_) return;
    setFocus(Qt::MouseFocusReason);
    pressedAt_ = event->position();
    rangeAtPress_ = range();
    selectedAtPress_ = selected_;
    beginDrag(pressedAt_, event->modifiers());
    rangeAtPress_ = range();
}

void TimelineView::beginDrag(QPointF position, Qt::KeyboardModifiers modifiers) {
    if (beginInOverview(position) || beginInPhases(position)) return;
    if (modifiers == Qt::NoModifier && beginInLanes(position)) return;
    drag_ = modifiers.testFlag(Qt::ShiftModifier)     ? Drag::Range
            : modifiers.testFlag(Qt::ControlModifier) ? Drag::Zoom
                                                      : Drag::Undecided;
}

bool TimelineView::beginInOverview(QPointF position) {
    const QRectF overview = canvas_->overviewRect().adjusted(-windowReach, -4, windowReach, 4);
    if (!overview.contains(position)) return false;
    const QRectF window = canvas_->windowRect();
    // The nearer edge, so that a window of a few pixels can still be widened either way.
    const double toBegin = std::abs(position.x() - window.left()),
                 toEnd = std::abs(position.x() - window.right());
    if (std::min(toBegin, toEnd) <= windowReach) {
        const bool begin = toBegin < toEnd || (toBegin == toEnd && position.x() < window.left());
        drag_ = begin ? Drag::WindowBegin : Drag::WindowEnd;
        return true;
    }
    drag_ = Drag::Window;
    if (window.contains(QPointF(position.x(), window.center().y()))) return true;
    const double middle = canvas_->overviewSecondsAt(position.x());
    const double half = (range().second - range().first) / 2;
    setRange(middle - half, middle + half);
    return true;
}

bool TimelineView::beginInPhases(QPointF position) {
    const QRectF lane = canvas_->phasesRect();
    if (!lane.adjusted(0, -2, 0, 2).contains(position)) return false;
    const auto hit = canvas_->phaseAt(position);
    if (!hit || hit->proposal) {
        drag_ = Drag::NewPhase;
        dragPhase_ = -1;
        return true;
    }
    dragPhase_ = hit->index;
    const auto& bar = marks().phases[static_cast<std::size_t>(hit->index)];
    phaseAtPress_ = {bar.begin_s, bar.end_s};
    drag_ = hit->part == TimelineCanvas::Part::Begin ? Drag::PhaseBegin
            : hit->part == TimelineCanvas::Part::End ? Drag::PhaseEnd
                                                     : Drag::PhaseBody;
    emit phaseSelected(hit->index);
    return true;
}

bool TimelineView::beginInLanes(QPointF position) {
    const auto lane = canvas_->laneAt(position);
    if (!lane) return false;
    const auto hit = canvas_->flagEdgeAt(position);
    if (!hit) {
        drag_ = Drag::NewFlag;
        dragLane_ = *lane;
        return true;
    }
    const bool dismissed = hit->flag->verdict == flags::Verdict::Dismissed;
    if (hit->part == TimelineCanvas::Part::Body || dismissed) return false;
    dragFlag_ = hit->flag;
    phaseAtPress_ = {secondsOf(hit->flag->span.begin), secondsOf(hit->flag->span.end)};
    drag_ = hit->part == TimelineCanvas::Part::Begin ? Drag::FlagBegin : Drag::FlagEnd;
    return true;
}

void TimelineView::dragTo(QPointF position) {
    const auto [begin, end] = rangeAtPress_;
    const double moved =
        canvas_->overviewSecondsAt(position.x()) - canvas_->overviewSecondsAt(pressedAt_.x());
    switch (drag_) {
        case Drag::Pan: {
            const double perPixel = (end - begin) / canvas_->overlayRect().width();
            const double shift = (pressedAt_.x() - position.x()) * perPixel;
            setRange(begin + shift, end + shift);
            break;
        }
        case Drag::Window:
            setRange(begin + moved, end + moved);
            break;
        case Drag::WindowBegin:
            setRange(std::clamp(begin + moved, extent().first, end - 5), end);
            break;
        case Drag::WindowEnd:
            setRange(begin, std::clamp(end + moved, begin + 5, extent().second));
            break;
        default:
            break;
    }
}

void TimelineView::dragOut(QPointF position, bool free) {
    const double here = snappedAt(position.x(), free), from = snappedAt(pressedAt_.x(), free);
    switch (drag_) {
        case Drag::Range:
            if (here == from) return;
            setSelectedRange(ordered(from, here));
            emit rangeSelected(selected_);
            break;
        case Drag::Zoom:
        case Drag::NewPhase:
        case Drag::NewFlag:
            canvas_->setDraft(ordered(from, here));
            break;
        case Drag::PhaseBegin:
        case Drag::FlagBegin:
            canvas_->setDraft(
                Stretch{std::min(here, phaseAtPress_.second - shortestDraft_s), phaseAtPress_.second});
            break;
        case Drag::PhaseEnd:
        case Drag::FlagEnd:
            canvas_->setDraft(
                Stretch{phaseAtPress_.first, std::max(here, phaseAtPress_.first + shortestDraft_s)});
            break;
        case Drag::PhaseBody: {
            const double raw = canvas_->secondsAt(position.x()) - canvas_->secondsAt(pressedAt_.x());
            const double length = phaseAtPress_.second - phaseAtPress_.first;
            const double x = position.x() - pressedAt_.x() +
                             (phaseAtPress_.first - range().first) / (range().second - range().first) *
                                 canvas_->overlayRect().width() +
                             canvas_->overlayRect().left();
            const double begin = free ? phaseAtPress_.first + std::round(raw) : snappedAt(x, false);
            canvas_->setDraft(Stretch{begin, begin + length});
            break;
        }
        default:
            break;
    }
}

void TimelineView::mouseMoveEvent(QMouseEvent* event) {
    if (!session_) return;
    const QPointF position = event->position();
    const bool far = std::abs(position.x() - pressedAt_.x()) >= QApplication::startDragDistance();
    if (drag_ == Drag::Undecided && far) drag_ = Drag::Pan;
    if (drag_ == Drag::None || drag_ == Drag::Undecided) return hover(position);
    dragTo(position);
    if (far || canvas_->draft()) dragOut(position, event->modifiers().testFlag(Qt::AltModifier));
}

void TimelineView::hover(QPointF position) {
    const QRectF overview = canvas_->overviewRect();
    if (overview.contains(position)) {
        const QRectF window = canvas_->windowRect();
        const double nearest =
            std::min(std::abs(position.x() - window.left()), std::abs(position.x() - window.right()));
        setCursor(pinned_);
        QWidget::setCursor(nearest <= windowReach ? Qt::SizeHorCursor : Qt::OpenHandCursor);
        return;
    }
    if (canvas_->laneAt(position)) {
        const auto flag = canvas_->flagEdgeAt(position);
        const bool edge = flag && flag->part != TimelineCanvas::Part::Body;
        QWidget::setCursor(edge ? Qt::SizeHorCursor : flag ? Qt::PointingHandCursor : Qt::CrossCursor);
    } else if (canvas_->phasesRect().contains(position)) {
        const auto hit = canvas_->phaseAt(position);
        const bool edge = hit && !hit->proposal && hit->part != TimelineCanvas::Part::Body;
        QWidget::setCursor(edge ? Qt::SizeHorCursor : hit ? Qt::PointingHandCursor : Qt::CrossCursor);
    } else {
        unsetCursor();
    }
    const QRectF stack = canvas_->overlayRect();
    const double x = position.x();
    showCursor(x < stack.left() || x > stack.right() ? pinned_ : snapped(canvas_->secondsAt(x)));
}

void TimelineView::mouseReleaseEvent(QMouseEvent* event) {
    if (event->button() != Qt::LeftButton || !session_) return;
    finishDrag(event->position());
}

void TimelineView::finishDrag(QPointF position) {
    const Drag drag = std::exchange(drag_, Drag::None);
    const auto draft = canvas_->draft();
    canvas_->setDraft(std::nullopt);
    const QRectF stack = canvas_->overlayRect();
    const bool inStack = position.x() >= stack.left() && position.x() <= stack.right();
    if (drag == Drag::Undecided && inStack) {
        if (const auto* flag = canvas_->flagAt(position)) return emit flagPicked(flag);
        setCursor(canvas_->secondsAt(position.x()));
    }
    const bool onFlags = drag == Drag::NewFlag || drag == Drag::FlagBegin || drag == Drag::FlagEnd;
    if (onFlags) return finishFlag(drag, draft, position);
    if (!draft) {
        if (drag == Drag::NewPhase && !canvas_->phaseAt(position)) emit phaseSelected(std::nullopt);
        return;
    }
    if (drag == Drag::Zoom) setRange(draft->first, draft->second);
    if (drag == Drag::NewPhase && draft->second - draft->first >= shortestDraft_s)
        emit phaseDrawn(draft->first, draft->second);
    const bool phase = drag == Drag::PhaseBegin || drag == Drag::PhaseEnd || drag == Drag::PhaseBody;
    if (phase && *draft != phaseAtPress_) emit phaseMoved(dragPhase_, draft->first, draft->second);
}

void TimelineView::finishFlag(Drag drag, std::optional<Stretch> draft, QPointF position) {
    const auto* flag = std::exchange(dragFlag_, nullptr);
    if (!draft) {
        if (flag) return emit flagPicked(flag);
        return setCursor(canvas_->secondsAt(position.x()));
    }
    if (drag == Drag::NewFlag && draft->second - draft->first >= shortestDraft_s)
        emit flagDrawn(dragLane_, draft->first, draft->second);
    if (flag && *draft != phaseAtPress_) emit flagMoved(flag, draft->first, draft->second);
}

void TimelineView::cancelDrag() {
    const Drag drag = std::exchange(drag_, Drag::None);
    canvas_->setDraft(std::nullopt);
    if (drag == Drag::Range) {
        setSelectedRange(selectedAtPress_);
        emit rangeSelected(selected_);
        return;
    }
    setRange(rangeAtPress_.first, rangeAtPress_.second);
}

bool TimelineView::cancelGesture() {
    if (drag_ == Drag::None) return false;
    cancelDrag();
    return true;
}

void TimelineView::mouseDoubleClickEvent(QMouseEvent* event) {
    if (event->button() != Qt::LeftButton || !session_) return;
    const auto hit = canvas_->phaseAt(event->position());
    if (!hit) return mousePressEvent(event);
    if (hit->proposal) return emit proposalTaken(hit->index);
    const auto& bar = marks().phases[static_cast<std::size_t>(hit->index)];
    centreOn({bar.begin_s, bar.end_s});
}

std::vector<double> TimelineView::snapTargets() const {
    std::vector<double> targets = marks().anchors;
    for (const PinMark& pin : marks().pins)
        targets.push_back(pin.at_s);
    for (int i = 0; i < static_cast<int>(marks().phases.size()); ++i) {
        // A phase that is being moved is no mark for itself.
        if (i == dragPhase_ && drag_ >= Drag::PhaseBegin) continue;
        const PhaseBar& bar = marks().phases[static_cast<std::size_t>(i)];
        targets.insert(targets.end(), {bar.begin_s, bar.end_s});
    }
    for (const auto& test : session_->tests)
        for (const auto& flag : test.flags)
            if (&flag != dragFlag_)
                targets.insert(targets.end(), {secondsOf(flag.span.begin), secondsOf(flag.span.end)});
    if (pinned_) targets.push_back(*pinned_);
    targets.insert(targets.end(), {extent().first, extent().second});
    return targets;
}

double TimelineView::snappedAt(double x, bool free) const {
    const double seconds = std::clamp(canvas_->secondsAt(x), extent().first, extent().second);
    if (!free) {
        const double perPixel = (range().second - range().first) / canvas_->overlayRect().width();
        std::optional<double> nearest;
        for (const double target : snapTargets())
            if (std::abs(target - seconds) <= snapReach * perPixel &&
                (!nearest || std::abs(target - seconds) < std::abs(*nearest - seconds)))
                nearest = target;
        if (nearest) return *nearest;
    }
    return std::clamp(std::round(seconds), extent().first, extent().second);
}

void TimelineView::showTip(QHelpEvent* event) {
    const auto spanWords = [](double begin, double end) {
        return tr("%1 to %2").arg(sessionTimeText(begin), sessionTimeText(end));
    };
    if (const auto hit = session_ ? canvas_->phaseAt(event->pos()) : std::nullopt) {
        const auto& bars = hit->proposal ? marks().proposals : marks().phases;
        const auto& bar = bars[static_cast<std::size_t>(hit->index)];
        const QString words = tr("%1 · %2").arg(bar.label, spanWords(bar.begin_s, bar.end_s));
        QToolTip::showText(event->globalPos(),
                           hit->proposal ? tr("%1 · proposed: double-click takes it over").arg(words) : words,
                           this);
        return;
    }
    if (const auto* flag = session_ ? canvas_->flagAt(event->pos()) : nullptr) {
        QToolTip::showText(
            event->globalPos(),
            tr("%1 · %2\n%3")
                .arg(flagName(flag->kind), spanWords(secondsOf(flag->span.begin), secondsOf(flag->span.end)),
                     QString::fromStdString(flag->because)),
            this);
        return;
    }
    QToolTip::hideText();
}

}  // namespace beatwitness::widgets
