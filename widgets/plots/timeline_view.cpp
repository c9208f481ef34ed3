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

namespace beatwitness::widgets {
namespace {

constexpr double zoomStep = 0.8;  ///< of one wheel notch or key
constexpr double panStep = 0.25;  ///< of the range, of one key
constexpr double wheelPan = 0.1;  ///< of the range, of one wheel notch
constexpr int settle_ms = 500;    ///< a range that stood so long can be come back to
/// A flag or phase is shown in the middle of three times its length, yet never closer than this.
constexpr double leastAround_s = 60.0;
constexpr double notch = 120.0;  ///< eighths of a degree

}  // namespace

TimelineView::TimelineView(QWidget* parent) : QWidget(parent), canvas_(new TimelineCanvas(this)) {
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(canvas_);
    setFocusPolicy(Qt::StrongFocus);
    setMouseTracking(true);
    setAccessibleName(tr("Timeline"));
    settle_.setSingleShot(true);
    settle_.setInterval(settle_ms);
    connect(&settle_, &QTimer::timeout, this, &TimelineView::settle);
    connect(this, &TimelineView::rangeChanged, this, [this] { settle_.start(); });
    describe();
}

TimelineView::~TimelineView() = default;

void TimelineView::setSession(std::shared_ptr<const analysis::SessionAnalysis> session) {
    session_ = std::move(session);
    drag_ = Drag::None;
    dragFlag_ = nullptr;
    pinned_.reset();
    setSelectedRange(std::nullopt);
    canvas_->setSession(session_);
    visited_.assign(1, range());
    at_ = 0;
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

void TimelineView::centreOn(Stretch stretch, std::optional<double> at) {
    const double half = std::max(3.0 * (stretch.second - stretch.first), leastAround_s) / 2.0;
    const double middle = (stretch.first + stretch.second) / 2.0;
    setRange(middle - half, middle + half);
    if (at) setCursor(at);
}

bool TimelineView::isUnsettled() const {
    return !visited_.empty() && range() != visited_[at_];
}

void TimelineView::settle() {
    settle_.stop();
    if (!session_ || !isUnsettled()) return;
    visited_.resize(at_ + 1);
    visited_.push_back(range());
    at_ = visited_.size() - 1;
}

void TimelineView::goBack() {
    settle();
    if (at_ == 0) return;
    --at_;
    setRange(visited_[at_].first, visited_[at_].second);
}

void TimelineView::goForward() {
    settle();
    if (!canGoForward()) return;
    ++at_;
    setRange(visited_[at_].first, visited_[at_].second);
}

void TimelineView::setMarks(TimelineMarks marks) {
    canvas_->setMarks(std::move(marks));
    describe();
}

const TimelineMarks& TimelineView::marks() const {
    return canvas_->marks();
}

void TimelineView::setSelectedRange(std::optional<Stretch> range) {
    selected_ = range;
    canvas_->setSelectedRange(range);
    describe();
}

void TimelineView::setScale(Scale scale) {
    canvas_->setScale(static_cast<TimelineCanvas::Scale>(scale));
}

TimelineView::Scale TimelineView::scale() const {
    return static_cast<Scale>(canvas_->scale());
}

void TimelineView::setShownTests(std::vector<int> tests) {
    canvas_->setShownTests(std::move(tests));
}

std::vector<int> TimelineView::shownTests() const {
    return canvas_->shownTests();
}

void TimelineView::setAllErrors(bool all) {
    canvas_->setAllErrors(all);
}

bool TimelineView::allErrors() const {
    return canvas_->allErrors();
}

void TimelineView::setPreview(std::optional<alignment::ClockCorrection> correction) {
    canvas_->setPreview(correction);
}

bool TimelineView::letGo() {
    if (cancelGesture()) return true;
    if (!shown_) return false;
    setCursor(std::nullopt);
    return true;
}

bool TimelineView::keyForCursor(QKeyEvent* event) {
    switch (event->key()) {
        case Qt::Key_Left:
            stepCursor(-1);
            return true;
        case Qt::Key_Right:
            stepCursor(1);
            return true;
        case Qt::Key_PageUp:
            stepCursor(-10);
            return true;
        case Qt::Key_PageDown:
            stepCursor(10);
            return true;
        case Qt::Key_Home:
            stepCursor(extent().first - shown_.value_or(0));
            return true;
        case Qt::Key_End:
            stepCursor(extent().second - shown_.value_or(0));
            return true;
        case Qt::Key_Escape:
            return letGo();
        default:
            return false;
    }
}

bool TimelineView::keyForRange(QKeyEvent* event) {
    const bool control = event->modifiers().testFlag(Qt::ControlModifier);
    switch (event->key()) {
        case Qt::Key_Left:
            if (control) panLeft();
            return control;
        case Qt::Key_Right:
            if (control) panRight();
            return control;
        case Qt::Key_Plus:
        case Qt::Key_Equal:
            zoomIn();
            return true;
        case Qt::Key_Minus:
            zoomOut();
            return true;
        case Qt::Key_0:
            fitAll();
            return true;
        default:
            return false;
    }
}

void TimelineView::keyPressEvent(QKeyEvent* event) {
    if (!keyForRange(event) && !keyForCursor(event)) QWidget::keyPressEvent(event);
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
    if (event->type() == QEvent::ToolTip) {
        showTip(static_cast<QHelpEvent*>(event));
        return true;
    }
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
    if (const auto count = marks().phases.size())
        text += count == 1 ? tr(", 1 phase") : tr(", %1 phases").arg(countText(count));
    if (selected_)
        text += tr(", selected %1 to %2")
                    .arg(sessionTimeText(selected_->first), sessionTimeText(selected_->second));
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
