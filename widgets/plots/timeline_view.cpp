#include "widgets/plots/timeline_view.h"

#include <QKeyEvent>
#include <QVBoxLayout>
#include <QWheelEvent>
#include <algorithm>
#include <cmath>

#include "widgets/format/number_text.h"
#include "widgets/plots/context_line.h"
#include "widgets/plots/cursor_reading.h"
#include "widgets/plots/timeline_canvas.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

constexpr double zoomStep = 0.8;   ///< of one wheel notch or key
constexpr double panStep = 0.25;   ///< of the range, of one key
constexpr double wheelPan = 0.1;   ///< of the range, of one wheel notch
constexpr double edgeReach = 6.0;  ///< pixels from the edge of the overview's window that take hold of it
constexpr double notch = 120.0;    ///< eighths of a degree

}  // namespace

TimelineView::TimelineView(QWidget* parent) : QWidget(parent), canvas_(new TimelineCanvas(this)) {
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(canvas_);
    setFocusPolicy(Qt::StrongFocus);
    setMouseTracking(true);
    setAccessibleName(tr("Timeline"));
    describe();
}

TimelineView::~TimelineView() = default;

void TimelineView::setSession(std::shared_ptr<const analysis::SessionAnalysis> session) {
    session_ = std::move(session);
    drag_ = Drag::None;
    pinned_.reset();
    canvas_->setSession(session_);
    showCursor(std::nullopt);
    readContexts();
    emit rangeChanged(range().first, range().second);
}

void TimelineView::clear() {
    setSession(nullptr);
}

void TimelineView::setFocusTest(int test) {
    if (!session_ || test < 0 || test >= static_cast<int>(session_->tests.size())) return;
    canvas_->setFocusTest(test);
    describe();
}

int TimelineView::focusTest() const {
    return canvas_->focusTest();
}

void TimelineView::setAligned(bool aligned) {
    if (canvas_->aligned() == aligned) return;
    const auto before = range();
    const bool whole = before == extent();
    canvas_->setAligned(aligned);
    if (whole) canvas_->setRange(extent().first, extent().second);
    readContexts();
    if (range() != before) emit rangeChanged(range().first, range().second);
}

bool TimelineView::aligned() const {
    return canvas_->aligned();
}

std::optional<double> TimelineView::snapped(std::optional<double> seconds) const {
    if (!session_ || !seconds || !std::isfinite(*seconds)) return std::nullopt;
    // The whole seconds inside the extent; a session shorter than one second has its first.
    const double first = std::ceil(extent().first), last = std::floor(extent().second);
    return std::clamp(std::round(*seconds), first, std::max(first, last));
}

void TimelineView::setCursor(std::optional<double> seconds) {
    pinned_ = snapped(seconds);
    showCursor(pinned_);
}

std::optional<double> TimelineView::cursor() const {
    return shown_;
}

void TimelineView::showCursor(std::optional<double> seconds) {
    if (shown_ == seconds) return;
    shown_ = seconds;
    canvas_->setCursor(shown_);
    describe();
    emit cursorMoved(shown_);
}

void TimelineView::setRange(double begin_s, double end_s) {
    if (!session_ || !std::isfinite(begin_s) || !std::isfinite(end_s)) return;
    if (canvas_->setRange(std::min(begin_s, end_s), std::max(begin_s, end_s)))
        emit rangeChanged(range().first, range().second);
}

std::pair<double, double> TimelineView::range() const {
    return canvas_->range();
}
std::pair<double, double> TimelineView::extent() const {
    return canvas_->extent();
}

QSize TimelineView::sizeHint() const {
    const int line = fontMetrics().height();
    return {60 * line, 34 * line};
}

QSize TimelineView::minimumSizeHint() const {
    const int line = fontMetrics().height();
    return {24 * line, (context() ? 24 : 20) * line};
}

void TimelineView::zoomAbout(double seconds, double factor) {
    const auto [begin, end] = range();
    const auto [first, last] = extent();
    // Limited here, so that the second under the pointer stays under it at the shortest range too.
    const double whole = last - first;
    const double length = std::clamp((end - begin) * factor, std::min(5.0, whole), whole);
    const double share = (seconds - begin) / (end - begin);
    setRange(seconds - share * length, seconds + (1 - share) * length);
}

void TimelineView::zoomIn() {
    const auto [begin, end] = range();
    const bool inSight = shown_ && *shown_ >= begin && *shown_ <= end;
    zoomAbout(inSight ? *shown_ : (begin + end) / 2, zoomStep);
}

void TimelineView::zoomOut() {
    const auto [begin, end] = range();
    const bool inSight = shown_ && *shown_ >= begin && *shown_ <= end;
    zoomAbout(inSight ? *shown_ : (begin + end) / 2, 1 / zoomStep);
}

void TimelineView::fitAll() {
    setRange(extent().first, extent().second);
}

void TimelineView::panBy(double seconds) {
    setRange(range().first + seconds, range().second + seconds);
}
void TimelineView::panLeft() {
    panBy(-panStep * (range().second - range().first));
}
void TimelineView::panRight() {
    panBy(panStep * (range().second - range().first));
}

void TimelineView::stepCursor(double seconds) {
    if (!session_) return;
    const auto [begin, end] = range();
    setCursor(shown_ ? *shown_ + seconds : (begin + end) / 2);
    const double length = end - begin;
    if (*shown_ < begin) panBy(*shown_ - begin - panStep * length);
    if (*shown_ > end) panBy(*shown_ - end + panStep * length);
}

void TimelineView::keyPressEvent(QKeyEvent* event) {
    const bool control = event->modifiers().testFlag(Qt::ControlModifier);
    switch (event->key()) {
        case Qt::Key_Left:
            control ? panLeft() : stepCursor(-1);
            return;
        case Qt::Key_Right:
            control ? panRight() : stepCursor(1);
            return;
        case Qt::Key_PageUp:
            stepCursor(-10);
            return;
        case Qt::Key_PageDown:
            stepCursor(10);
            return;
        case Qt::Key_Home:
            stepCursor(extent().first - shown_.value_or(0));
            return;
        case Qt::Key_End:
            stepCursor(extent().second - shown_.value_or(0));
            return;
        case Qt::Key_Plus:
        case Qt::Key_Equal:
            zoomIn();
            return;
        case Qt::Key_Minus:
            zoomOut();
            return;
        case Qt::Key_0:
            fitAll();
            return;
        case Qt::Key_Escape:
            if (!shown_) break;
            setCursor(std::nullopt);
            return;
        default:
            break;
    }
    QWidget::keyPressEvent(event);
}

void TimelineView::wheelEvent(QWheelEvent* event) {
    event->accept();
    if (!session_) return;
    const QPoint angle = event->angleDelta();
    const bool sideways = std::abs(angle.x()) > std::abs(angle.y());
    if (sideways || event->modifiers().testFlag(Qt::ShiftModifier)) {
        const double notches = (sideways ? angle.x() : angle.y()) / notch;
        panBy(-notches * wheelPan * (range().second - range().first));
        return;
    }
    const bool overOverview = canvas_->overviewRect().contains(event->position());
    const double x = event->position().x();
    const double pointed = overOverview ? canvas_->overviewSecondsAt(x) : canvas_->secondsAt(x);
    zoomAbout(std::clamp(pointed, range().first, range().second), std::pow(zoomStep, angle.y() / notch));
}

void TimelineView::mousePressEvent(QMouseEvent* event) {
    if (event->button() != Qt::LeftButton || !session_) return;
    setFocus(Qt::MouseFocusReason);
    pressedAt_ = event->position();
    beginDrag(pressedAt_);
    rangeAtPress_ = range();
}

void TimelineView::beginDrag(QPointF position) {
    const QRectF overview = canvas_->overviewRect().adjusted(-edgeReach, -4, edgeReach, 4);
    if (!overview.contains(position)) {
        drag_ = Drag::Undecided;
        return;
    }
    const QRectF window = canvas_->windowRect();
    // The nearer edge, so that a window of a few pixels can still be widened either way.
    const double toBegin = std::abs(position.x() - window.left()),
                 toEnd = std::abs(position.x() - window.right());
    if (std::min(toBegin, toEnd) <= edgeReach) {
        const bool begin = toBegin < toEnd || (toBegin == toEnd && position.x() < window.left());
        drag_ = begin ? Drag::WindowBegin : Drag::WindowEnd;
        return;
    }
    drag_ = Drag::Window;
    if (window.contains(QPointF(position.x(), window.center().y()))) return;
    const double middle = canvas_->overviewSecondsAt(position.x());
    const double half = (range().second - range().first) / 2;
    setRange(middle - half, middle + half);
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
        case Drag::None:
        case Drag::Undecided:
            break;
    }
}

void TimelineView::mouseMoveEvent(QMouseEvent* event) {
    if (!session_) return;
    if (drag_ == Drag::Undecided &&
        std::abs(event->position().x() - pressedAt_.x()) >= QApplication::startDragDistance())
        drag_ = Drag::Pan;
    if (drag_ != Drag::None && drag_ != Drag::Undecided) {
        dragTo(event->position());
        return;
    }
    const QRectF overview = canvas_->overviewRect();
    if (overview.contains(event->position())) {
        const QRectF window = canvas_->windowRect();
        const double nearest = std::min(std::abs(event->position().x() - window.left()),
                                        std::abs(event->position().x() - window.right()));
        setCursor(pinned_);
        QWidget::setCursor(nearest <= edgeReach ? Qt::SizeHorCursor : Qt::OpenHandCursor);
        return;
    }
    unsetCursor();
    const QRectF stack = canvas_->overlayRect();
    const double x = event->position().x();
    showCursor(x < stack.left() || x > stack.right() ? pinned_ : snapped(canvas_->secondsAt(x)));
}

void TimelineView::mouseReleaseEvent(QMouseEvent* event) {
    if (event->button() != Qt::LeftButton) return;
    const QRectF stack = canvas_->overlayRect();
    const double x = event->position().x();
    if (drag_ == Drag::Undecided && session_ && x >= stack.left() && x <= stack.right())
        setCursor(canvas_->secondsAt(x));
    drag_ = Drag::None;
}

void TimelineView::leaveEvent(QEvent*) {
    showCursor(pinned_);
}

void TimelineView::focusInEvent(QFocusEvent* event) {
    QWidget::focusInEvent(event);
    focusShown_ = showsFocus(event->reason(), focusShown_);
    canvas_->setFocusRing(focusShown_);
}

void TimelineView::focusOutEvent(QFocusEvent* event) {
    QWidget::focusOutEvent(event);
    canvas_->setFocusRing(false);
}

bool TimelineView::event(QEvent* event) {
    return QWidget::event(event);
}

void TimelineView::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange ||
        event->type() == QEvent::StyleChange)
        canvas_->restyle();
}

void TimelineView::describe() {
    if (!session_ || session_->tests.empty()) {
        setAccessibleDescription(tr("Timeline, empty"));
        return;
    }
    const auto& test = session_->tests[static_cast<std::size_t>(focusTest())];
    const auto [first, last] = extent();
    // Without a catalogue loaded, Qt leaves "%n flag(s)" as it stands.
    const QString flagged =
        test.flags.size() == 1 ? tr("1 flag") : tr("%1 flags").arg(countText(test.flags.size()));
    QString text = tr("Timeline, %1, %2").arg(durationText(last - first), flagged);
    text += test.aligned && aligned() ? tr(", aligned") : tr(", as recorded");
    if (shown_) {
        const CursorReading reading = readingAt(*session_, focusTest(), aligned(), *shown_);
        const auto value = [](const std::optional<Bpm>& rate) {
            return numberText(rate ? std::optional{rate->value} : std::nullopt, 0);
        };
        text += tr("; %1 reference %2, %3 %4", "12:04 reference 151, band 76")
                    .arg(sessionTimeText(reading.seconds), value(reading.reference),
                         testName(*session_, focusTest()), value(reading.test));
        if (const auto trace = context())
            text += tr(", %1 %2").arg(contextNames()[*contextIndex()],
                                      contextText(trace->kind, contextValueAt(*trace, reading.seconds)));
    }
    setAccessibleDescription(text);
}

}  // namespace beatwitness::widgets
