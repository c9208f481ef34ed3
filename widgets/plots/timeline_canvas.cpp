#include "widgets/plots/timeline_canvas.h"

#include <algorithm>
#include <cmath>

#include "widgets/format/number_text.h"
#include "widgets/plots/cursor_reading.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

constexpr double shortestRange_s = 5.0;
constexpr double referenceWidth = 1.8, testWidth = 1.6, errorWidth = 1.4;
/// An error strip never zooms in further than this: a good device must look good.
constexpr double leastErrorSpan_bpm = 12.0;

QCPAxisRect* addAxisRect(QCustomPlot& plot, int row) {
    auto* rect = new QCPAxisRect(&plot);
    rect->setAutoMargins(QCP::msNone);
    for (auto* axis : rect->axes())
        axis->setVisible(false);
    plot.plotLayout()->addElement(row, 0, rect);
    return rect;
}

void fixHeight(QCPAxisRect& rect, int height) {
    rect.setMinimumSize(10, height);
    rect.setMaximumSize(QWIDGETSIZE_MAX, height);
}

}  // namespace

TimelineCanvas::TimelineCanvas(QWidget* parent)
    : PlotCanvas(parent),
      overview_(addAxisRect(*this, 0)),
      overlay_(addAxisRect(*this, 1)),
      contextRect_(addAxisRect(*this, 2)),
      error_(addAxisRect(*this, 3)),
      lanes_(addAxisRect(*this, 4)),
      timeTicker_(new SessionTimeTicker),
      rateTicker_(new BpmTicker(BpmTicker::Sign::Plain)),
      errorTicker_(new BpmTicker(BpmTicker::Sign::Always)) {
    plotLayout()->setRowSpacing(0);
    overlay_->axis(QCPAxis::atLeft)->setTicker(rateTicker_);
    error_->axis(QCPAxis::atLeft)->setTicker(errorTicker_);
    contextRect_->axis(QCPAxis::atLeft)->setTicker(QSharedPointer<ThreeTicker>::create());
    lanes_->axis(QCPAxis::atBottom)->setTicker(timeTicker_);
    for (auto* axis :
         {overlay_->axis(QCPAxis::atLeft), error_->axis(QCPAxis::atLeft), lanes_->axis(QCPAxis::atBottom)})
        axis->setVisible(true);
    for (auto* rect : {overview_, lanes_})
        for (auto* axis : rect->axes())
            axis->grid()->setVisible(false);

    const auto under = QStringLiteral("background"), main = QStringLiteral("main"),
               over = QStringLiteral("overlay");
    // Under the grid, so that they can be opaque.
    new Painted(this, under, [this](QCPPainter& painter) { drawTolerance(painter); });
    new Painted(this, under, [this](QCPPainter& painter) { drawTints(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawOverview(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawOverlay(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawContext(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawError(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawLanes(painter); });
    new Painted(this, over, [this](QCPPainter& painter) { drawTitles(painter); });
    new Painted(this, over, [this](QCPPainter& painter) { drawEndLabels(painter); });
    restyle();
}

void TimelineCanvas::setSession(std::shared_ptr<const analysis::SessionAnalysis> session) {
    session_ = std::move(session);
    focus_ = 0;
    cursor_.reset();
    context_.reset();
    rebuildLines();
    rebuildLanes();
    range_ = extent_;
    place();
}

void TimelineCanvas::setFocusTest(int test) {
    focus_ = test;
    rebuildLines();
    place();
}

void TimelineCanvas::setAligned(bool aligned) {
    aligned_ = aligned;
    rebuildLines();
    setRange(range_.first, range_.second);
    place();
}

void TimelineCanvas::setCursor(std::optional<double> seconds) {
    if (cursor_ == seconds) return;
    const QRegion before = cursorRegion();
    cursor_ = seconds;
    redrawCursor(before | cursorRegion());
}

QRegion TimelineCanvas::cursorRegion() const {
    if (!session_ || !cursor_) return {};
    const auto strip = [this](double x, int reach, double top) {
        return QRect(qRound(x) - reach, qRound(top), 2 * reach + 1, height() - qRound(top));
    };
    const double x = viewOf(overlay_).x(*cursor_);
    // The badge takes tick labels away that it would cover by half.
    const int label = QFontMetrics(smallFont()).horizontalAdvance(sessionTimeText(*cursor_)) + 16;
    return QRegion(strip(overviewViewport().x(*cursor_), 2, 0)) | strip(x, 8, 0) |
           strip(std::clamp(x, label / 2.0, width() - label / 2.0), 2 * label, lanesRect().bottom());
}

bool TimelineCanvas::setRange(double begin_s, double end_s) {
    const double whole = extent_.second - extent_.first;
    const double length = std::clamp(end_s - begin_s, std::min(shortestRange_s, whole), whole);
    const double middle = (begin_s + end_s) / 2;
    // What fits stays to the last bit, so that a range set twice does not creep.
    const bool fits = length == end_s - begin_s;
    const double wanted = fits ? begin_s : middle - length / 2;
    const double begin = std::clamp(wanted, extent_.first, std::max(extent_.first, extent_.second - length));
    const std::pair range{begin, fits && begin == begin_s ? end_s : std::min(extent_.second, begin + length)};
    if (range == range_) return false;
    range_ = range;
    placeTicks();
    redrawMoving();
    return true;
}

void TimelineCanvas::rebuildLines() {
    overviewImage_.invalidate();
    lines_.clear();
    errorLine_ = {};
    extent_ = {0.0, 1.0};
    if (!session_) return rebuildContext();
    const Palette& palette = currentPalette();
    for (std::size_t i = 0; i < session_->tests.size(); ++i) {
        lines_.push_back(lineOf(session_, shownView(session_->tests[i], aligned_).trace));
        lines_.back().colour = palette.trace(static_cast<int>(i));
        lines_.back().width = testWidth;
    }
    lines_.push_back(lineOf(session_, session_->referenceTrace));
    lines_.back().colour = palette.reference;
    lines_.back().width = referenceWidth;
    bool first = true;
    for (const DrawnLine& line : lines_) {
        if (line.seconds.empty()) continue;
        extent_.first = first ? line.seconds.front() : std::min(extent_.first, line.seconds.front());
        extent_.second = first ? line.seconds.back() : std::max(extent_.second, line.seconds.back());
        first = false;
    }
    if (extent_.second - extent_.first < 1.0) extent_.second = extent_.first + 1.0;
    if (!session_->tests.empty()) {
        errorLine_ =
            errorLineOf(shownView(session_->tests[static_cast<std::size_t>(focus_)], aligned_).pairs);
        errorLine_.colour = palette.trace(focus_);
        errorLine_.width = errorWidth;
    }
    fitValues();
    rebuildContext();
}

void TimelineCanvas::rebuildLanes() {
    laneRows_.clear();
    if (!session_) return;
    Lane reference{tr("reference"), {}};
    for (std::size_t i = 0; i < session_->tests.size(); ++i) {
        Lane lane{testName(*session_, static_cast<int>(i)), {}};
        for (const auto& flag : session_->tests[i].flags) {
            if (flag.on == flags::FlaggedTrace::Test)
                lane.flags.push_back(&flag);
            else if (i == 0)
                reference.flags.push_back(&flag);
        }
        laneRows_.push_back(std::move(lane));
    }
    if (!reference.flags.empty()) laneRows_.insert(laneRows_.begin(), std::move(reference));
}

int TimelineCanvas::leftMargin(const QFontMetrics& metrics) const {
    int widest = metrics.horizontalAdvance(signedText(-100, 0));
    for (const Lane& lane : laneRows_)
        widest = std::max(widest, metrics.horizontalAdvance(lane.name));
    if (context_) widest = std::max(widest, metrics.horizontalAdvance(numberText(contextRange().second, 0)));
    return std::min(widest, std::max(metrics.averageCharWidth() * 6, width() / 9)) + 14;
}

int TimelineCanvas::rightMargin(const QFontMetrics& metrics) const {
    int widest = metrics.horizontalAdvance(tr("reference"));
    if (session_)
        for (int i = 0; i < static_cast<int>(session_->tests.size()); ++i)
            widest = std::max(widest, metrics.horizontalAdvance(testName(*session_, i)));
    return std::min(widest, std::max(metrics.averageCharWidth() * 9, width() / 8)) + 28;
}

void TimelineCanvas::place() {
    for (auto* axis :
         {overlay_->axis(QCPAxis::atLeft), error_->axis(QCPAxis::atLeft), lanes_->axis(QCPAxis::atBottom)})
        axis->setVisible(session_ != nullptr);
    const QFontMetrics metrics(smallFont());
    const int line = metrics.height();
    const int left = leftMargin(metrics), right = rightMargin(metrics);
    const int laneRow = line + 6;
    const int laneCount = std::max(1, static_cast<int>(laneRows_.size()));
    const bool low = height() < 26 * line;
    overview_->setMargins(QMargins(left, 8, right, 0));
    fixHeight(*overview_, low ? 2 * line : 3 * line);
    overlay_->setMargins(QMargins(left, 2 * line + 4, right, 0));
    overlay_->setMinimumSize(10, 3 * line);
    placeContext(left, right, line, low);
    error_->setMargins(QMargins(left, line + 14, right, 0));
    fixHeight(*error_, std::max(3 * line, height() / (low ? 8 : 6)));
    lanes_->setMargins(QMargins(left, 10, right, 2 * line + 8));
    fixHeight(*lanes_, laneCount * laneRow - 2);
    plotLayout()->update(QCPLayoutElement::upPreparation);
    plotLayout()->update(QCPLayoutElement::upMargins);
    plotLayout()->setOuterRect(viewport());
    plotLayout()->update(QCPLayoutElement::upLayout);
    placeTicks();
    redraw();
}

void TimelineCanvas::placeTicks() {
    const QFontMetrics metrics(smallFont());
    timeTicker_->setRoom(lanes_->width(), metrics.horizontalAdvance(sessionTimeText(range_.second)) * 1.9);
    rateTicker_->setRoom(overlay_->height(), metrics.height() * 2.4);
    errorTicker_->setRoom(error_->height(), metrics.height() * 1.4);
    lanes_->axis(QCPAxis::atBottom)->setRange(range_.first, range_.second);
}

void TimelineCanvas::fitValues() {
    double lowest = 60.0, highest = 120.0;
    bool first = true;
    for (const DrawnLine& line : lines_) {
        if (line.values.empty()) continue;
        const auto [low, high] = line.valueRange();
        lowest = first ? low : std::min(lowest, low);
        highest = first ? high : std::max(highest, high);
        first = false;
    }
    const double pad = std::max(4.0, (highest - lowest) * 0.05);
    overlay_->axis(QCPAxis::atLeft)->setRange(lowest - pad, highest + pad);
    auto [least, most] = errorLine_.valueRange();
    least = std::min(least, -leastErrorSpan_bpm);
    most = std::max(most, leastErrorSpan_bpm);
    const double errorPad = (most - least) * 0.06;
    error_->axis(QCPAxis::atLeft)->setRange(least - errorPad, most + errorPad);
}

void TimelineCanvas::restyle() {
    setBackground(QBrush(currentPalette().paper));
    for (auto* rect : {overview_, overlay_, contextRect_, error_, lanes_})
        styleAxisRect(*rect);
    rebuildLines();
    place();
}

void TimelineCanvas::resizeEvent(QResizeEvent* event) {
    PlotCanvas::resizeEvent(event);
    place();
}

QRectF TimelineCanvas::windowRect() const {
    const Viewport view = overviewViewport();
    return {QPointF(view.x(range_.first), view.rect.top()),
            QPointF(view.x(range_.second), view.rect.bottom())};
}

double TimelineCanvas::secondsAt(double x) const {
    return viewOf(overlay_).seconds(x);
}
double TimelineCanvas::overviewSecondsAt(double x) const {
    return overviewViewport().seconds(x);
}

Viewport TimelineCanvas::viewOf(const QCPAxisRect* rect) const {
    const QCPRange values = rect->axis(QCPAxis::atLeft)->range();
    return {rectOf(rect), range_.first, range_.second, values.lower, values.upper};
}

Viewport TimelineCanvas::overviewViewport() const {
    const QCPRange values = overlay_->axis(QCPAxis::atLeft)->range();
    return {rectOf(overview_), extent_.first, extent_.second, values.lower, values.upper};
}

}  // namespace beatwitness::widgets
