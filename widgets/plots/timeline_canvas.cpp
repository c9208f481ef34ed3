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

/// Of the common scale.
constexpr double commonLowest_bpm = 40.0, commonHighest_bpm = 210.0, commonError_bpm = 60.0;

/// Lowest and highest value of all lines between two seconds; nothing where there is none.
std::optional<std::pair<double, double>> valuesOf(const std::vector<DrawnLine>& lines,
                                                  std::pair<double, double> within) {
    std::optional<std::pair<double, double>> found;
    for (const DrawnLine& line : lines) {
        const auto begin = std::ranges::lower_bound(line.seconds, within.first) - line.seconds.begin();
        const auto end = std::ranges::upper_bound(line.seconds, within.second) - line.seconds.begin();
        if (begin >= end) continue;
        const auto [low, high] =
            std::ranges::minmax_element(line.values.begin() + begin, line.values.begin() + end);
        found = {std::min(found ? found->first : *low, static_cast<double>(*low)),
                 std::max(found ? found->second : *high, static_cast<double>(*high))};
    }
    return found;
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
      phases_(addAxisRect(*this, 5)),
      timeTicker_(new SessionTimeTicker),
      rateTicker_(new BpmTicker(BpmTicker::Sign::Plain)),
      errorTicker_(new BpmTicker(BpmTicker::Sign::Always)) {
    plotLayout()->setRowSpacing(0);
    overlay_->axis(QCPAxis::atLeft)->setTicker(rateTicker_);
    error_->axis(QCPAxis::atLeft)->setTicker(errorTicker_);
    contextRect_->axis(QCPAxis::atLeft)->setTicker(QSharedPointer<ThreeTicker>::create());
    phases_->axis(QCPAxis::atBottom)->setTicker(timeTicker_);
    for (auto* axis :
         {overlay_->axis(QCPAxis::atLeft), error_->axis(QCPAxis::atLeft), phases_->axis(QCPAxis::atBottom)})
        axis->setVisible(true);
    for (auto* rect : {overview_, lanes_, phases_})
        for (auto* axis : rect->axes())
            axis->grid()->setVisible(false);

    const auto under = QStringLiteral("background"), main = QStringLiteral("main"),
               over = QStringLiteral("overlay");
    // Under the grid, so that they can be opaque.
    new Painted(this, under, [this](QCPPainter& painter) { drawTolerance(painter); });
    new Painted(this, under, [this](QCPPainter& painter) { drawLit(painter); });
    new Painted(this, under, [this](QCPPainter& painter) { drawTints(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawOverview(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawOverlay(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawContext(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawError(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawLanes(painter); });
    new Painted(this, main, [this](QCPPainter& painter) { drawPhases(painter); });
    new Painted(this, over, [this](QCPPainter& painter) { drawPins(painter); });
    new Painted(this, over, [this](QCPPainter& painter) { drawTitles(painter); });
    new Painted(this, over, [this](QCPPainter& painter) { drawEndLabels(painter); });
    restyle();
}

void TimelineCanvas::setSession(std::shared_ptr<const analysis::SessionAnalysis> session) {
    session_ = std::move(session);
    focus_ = 0;
    cursor_.reset();
    context_.reset();
    preview_.reset();
    previewTrace_.reset();
    shown_.clear();
    for (int i = 0; session_ && i < static_cast<int>(session_->tests.size()); ++i)
        shown_.push_back(i);
    rebuildLines();
    rebuildLanes();
    range_ = extent_;
    place();
}

void TimelineCanvas::setFocusTest(int test) {
    focus_ = test;
    preview_.reset();
    previewTrace_.reset();
    rebuildLines();
    rebuildLanes();
    place();
}

void TimelineCanvas::setShownTests(std::vector<int> tests) {
    shown_ = std::move(tests);
    rebuildLines();
    rebuildLanes();
    place();
}

void TimelineCanvas::setAllErrors(bool all) {
    allErrors_ = all;
    rebuildLines();
    place();
}

void TimelineCanvas::setScale(Scale scale) {
    scale_ = scale;
    overviewImage_.invalidate();
    fitValues();
    place();
}

void TimelineCanvas::setPreview(std::optional<alignment::ClockCorrection> correction) {
    if (!session_ || session_->tests.empty()) return;
    preview_ = correction;
    previewTrace_.reset();
    if (preview_) {
        // The samples on the recording's own clock, back from where they lie and on to where they are tried.
        const auto& view = shownView(session_->tests[static_cast<std::size_t>(focus_)], aligned_);
        auto moved = std::make_shared<trace::SessionTrace>(view.trace);
        const double was = 1 + view.correction.drift.value * 1e-6, is = 1 + preview_->drift.value * 1e-6;
        for (double& second : moved->seconds)
            second = (second / was - view.correction.offset.value + preview_->offset.value) * is;
        previewTrace_ = std::move(moved);
    }
    for (std::size_t i = 0; i < lines_.size(); ++i)
        if (lineTests_[i] == focus_) lines_[i] = testLine(focus_);
    overviewImage_.invalidate();
    rebuildErrors();
    redrawMoving();
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
           strip(std::clamp(x, label / 2.0, width() - label / 2.0), 2 * label, phasesRect().bottom());
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

DrawnLine TimelineCanvas::testLine(int test) const {
    const auto& analysed = session_->tests[static_cast<std::size_t>(test)];
    const bool tried = previewTrace_ && test == focus_;
    DrawnLine line =
        tried ? lineOf(previewTrace_, *previewTrace_) : lineOf(session_, shownView(analysed, aligned_).trace);
    line.colour = currentPalette().trace(test);
    line.width = testWidth;
    return line;
}

DrawnLine TimelineCanvas::errorLine(int test) const {
    const auto& analysed = session_->tests[static_cast<std::size_t>(test)];
    DrawnLine line;
    if (previewTrace_ && test == focus_)
        line = errorLineOf(trace::pairSeconds(trace::atWholeSeconds(session_->referenceTrace),
                                              trace::atWholeSeconds(*previewTrace_)));
    else
        line = errorLineOf(shownView(analysed, aligned_).pairs);
    line.colour = currentPalette().trace(test);
    line.width = errorWidth;
    return line;
}

void TimelineCanvas::rebuildErrors() {
    errors_.clear();
    if (!session_ || session_->tests.empty()) return;
    if (allErrors_)
        for (auto test = shown_.rbegin(); test != shown_.rend(); ++test)
            if (*test != focus_) errors_.push_back(errorLine(*test));
    errors_.push_back(errorLine(focus_));
}

void TimelineCanvas::findExtent() {
    extent_ = {0.0, 1.0};
    bool first = true;
    const auto cover = [&](const std::vector<double>& seconds) {
        if (seconds.empty()) return;
        extent_.first = first ? seconds.front() : std::min(extent_.first, seconds.front());
        extent_.second = first ? seconds.back() : std::max(extent_.second, seconds.back());
        first = false;
    };
    // Of all tests: hiding one must not move the others.
    for (const auto& test : session_->tests)
        cover(shownView(test, aligned_).trace.seconds);
    cover(session_->referenceTrace.seconds);
    if (extent_.second - extent_.first < 1.0) extent_.second = extent_.first + 1.0;
}

void TimelineCanvas::rebuildLines() {
    overviewImage_.invalidate();
    lines_.clear();
    lineTests_.clear();
    errors_.clear();
    extent_ = {0.0, 1.0};
    if (!session_) return rebuildContext();
    findExtent();
    for (auto test = shown_.rbegin(); test != shown_.rend(); ++test) {
        lines_.push_back(testLine(*test));
        lineTests_.push_back(*test);
    }
    lines_.push_back(lineOf(session_, session_->referenceTrace));
    lines_.back().colour = currentPalette().reference;
    lines_.back().width = referenceWidth;
    lineTests_.push_back(-1);
    rebuildErrors();
    fitValues();
    rebuildContext();
}

void TimelineCanvas::rebuildLanes() {
    laneRows_.clear();
    if (!session_) return;
    const auto fill = [](Lane& lane, const analysis::TestAnalysis& test, flags::FlaggedTrace on) {
        for (const auto* list : {&test.dismissed, &test.flags})
            for (const auto& flag : *list)
                if (flag.on == on) lane.flags.push_back(&flag);
    };
    Lane reference{tr("reference"), {}, -1};
    for (const int test : shown_) {
        Lane lane{testName(*session_, test), {}, test};
        fill(lane, session_->tests[static_cast<std::size_t>(test)], flags::FlaggedTrace::Test);
        laneRows_.push_back(std::move(lane));
    }
    if (!session_->tests.empty())
        fill(reference, session_->tests[static_cast<std::size_t>(focus_)], flags::FlaggedTrace::Reference);
    if (!reference.flags.empty()) laneRows_.insert(laneRows_.begin(), std::move(reference));
}

int TimelineCanvas::leftMargin(const QFontMetrics& metrics) const {
    int widest = metrics.horizontalAdvance(signedText(-100, 0));
    for (const Lane& lane : laneRows_)
        widest = std::max(widest, metrics.horizontalAdvance(lane.name));
    widest = std::max(widest, metrics.horizontalAdvance(tr("proposals")));
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
         {overlay_->axis(QCPAxis::atLeft), error_->axis(QCPAxis::atLeft), phases_->axis(QCPAxis::atBottom)})
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
    lanes_->setMargins(QMargins(left, 10, right, 0));
    fixHeight(*lanes_, laneCount * laneRow - 2);
    placePhases(left, right, line);
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
    phases_->axis(QCPAxis::atBottom)->setRange(range_.first, range_.second);
    if (scale_ == Scale::InSight) fitValues();
}

void TimelineCanvas::fitValues() {
    auto* rates = overlay_->axis(QCPAxis::atLeft);
    auto* errors = error_->axis(QCPAxis::atLeft);
    if (scale_ == Scale::Common) {
        rates->setRange(commonLowest_bpm, commonHighest_bpm);
        errors->setRange(-commonError_bpm, commonError_bpm);
        return;
    }
    const auto within = scale_ == Scale::InSight ? range_ : std::pair{-1e12, 1e12};
    const auto [lowest, highest] = valuesOf(lines_, within).value_or(std::pair{60.0, 120.0});
    const double pad = std::max(4.0, (highest - lowest) * 0.05);
    rates->setRange(lowest - pad, highest + pad);
    auto [least, most] = valuesOf(errors_, within).value_or(std::pair{0.0, 0.0});
    least = std::min(least, -leastErrorSpan_bpm);
    most = std::max(most, leastErrorSpan_bpm);
    const double errorPad = (most - least) * 0.06;
    errors->setRange(least - errorPad, most + errorPad);
}

void TimelineCanvas::restyle() {
    setBackground(QBrush(currentPalette().paper));
    for (auto* rect : {overview_, overlay_, contextRect_, error_, lanes_, phases_})
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
