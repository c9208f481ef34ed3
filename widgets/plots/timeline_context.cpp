// The strip of a channel other than heart rate: TimelineCanvas's and TimelineView's part in it.
#include <algorithm>
#include <cmath>

#include "widgets/format/short_names.h"
#include "widgets/plots/context_line.h"
#include "widgets/plots/timeline_canvas.h"
#include "widgets/plots/timeline_view.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

constexpr double contextWidth = 1.4;

/// Lowest and highest value of `line` within `extent`, so that what lies outside the session cannot flatten
/// what is in sight; those of all of it where nothing lies within.
std::pair<double, double> rangeWithin(const DrawnLine& line, std::pair<double, double> extent) {
    const auto begin = std::ranges::lower_bound(line.seconds, extent.first) - line.seconds.begin();
    const auto end = std::ranges::upper_bound(line.seconds, extent.second) - line.seconds.begin();
    if (begin >= end) return line.valueRange();
    const auto [low, high] =
        std::ranges::minmax_element(line.values.begin() + begin, line.values.begin() + end);
    return {*low, *high};
}

}  // namespace

void TimelineCanvas::setContext(std::shared_ptr<const analysis::ContextTrace> trace, const QString& name) {
    context_ = std::move(trace);
    contextName_ = name;
    rebuildContext();
    place();
}

void TimelineCanvas::rebuildContext() {
    contextLine_ = {};
    contextRect_->setVisible(context_ != nullptr);
    if (!context_) return;
    contextLine_ = contextLineOf(context_);
    contextLine_.colour = currentPalette().quietInk;
    contextLine_.width = contextWidth;
    const auto [low, high] = rangeWithin(contextLine_, extent_);
    const double pad = std::max(0.5, (high - low) * 0.08);
    contextRect_->axis(QCPAxis::atLeft)->setRange(low - pad, high + pad);
}

std::pair<double, double> TimelineCanvas::contextRange() const {
    const QCPRange range = contextRect_->axis(QCPAxis::atLeft)->range();
    return {range.lower, range.upper};
}

std::vector<double> TimelineCanvas::contextTicks() const {
    const auto ticks = contextRect_->axis(QCPAxis::atLeft)->tickVector();
    return {ticks.begin(), ticks.end()};
}

/// A height of nothing where no channel is chosen: the strip keeps its place in the layout.
void TimelineCanvas::placeContext(int left, int right, int line, bool low) {
    contextRect_->axis(QCPAxis::atLeft)->setVisible(context_ != nullptr);
    contextRect_->setMargins(context_ ? QMargins(left, line + 14, right, 0) : QMargins());
    const int height = !context_ ? 0 : low ? 2 * line : 7 * line / 2;
    contextRect_->setMinimumSize(10, height);
    contextRect_->setMaximumSize(QWIDGETSIZE_MAX, height);
}

void TimelineCanvas::drawContext(QCPPainter& painter) {
    if (!context_) return;
    painter.setAntialiasing(false);
    image_.draw(painter, viewOf(contextRect_), std::span(&contextLine_, 1), {}, quality());
    painter.setAntialiasing(true);
}

void TimelineCanvas::drawContextTitle(QCPPainter& painter) const {
    if (!context_) return;
    const QFontMetricsF metrics(smallFont());
    const QRectF strip = contextRect();
    const double top = strip.top() - metrics.height() - 4;
    painter.drawText(QRectF(0, top, strip.left() - 6, metrics.height()), Qt::AlignRight | Qt::AlignVCenter,
                     contextUnit(context_->kind));
    const QRectF room(strip.left(), top, strip.width(), metrics.height());
    painter.drawText(room, Qt::AlignLeft | Qt::AlignVCenter,
                     metrics.elidedText(contextName_, Qt::ElideRight, room.width()));
}

void TimelineView::setContext(std::optional<int> index) {
    const bool known = index && *index >= 0 && *index < static_cast<int>(contexts_.size());
    wantedContext_.reset();
    if (known) {
        const auto& trace = *contexts_[static_cast<std::size_t>(*index)];
        wantedContext_ = {trace.kind, trace.file};
    }
    showContext();
}

std::optional<int> TimelineView::contextIndex() const {
    for (std::size_t i = 0; i < contexts_.size(); ++i)
        if (wantedContext_ == std::pair{contexts_[i]->kind, contexts_[i]->file}) return static_cast<int>(i);
    return std::nullopt;
}

std::shared_ptr<const analysis::ContextTrace> TimelineView::context() const {
    const auto index = contextIndex();
    return index ? contexts_[static_cast<std::size_t>(*index)] : nullptr;
}

QStringList TimelineView::contextNames() const {
    QStringList names;
    for (const auto& trace : contexts_)
        names << contextName(*session_, *trace);
    return numberedWhereAlike(std::move(names));
}

void TimelineView::readContexts() {
    contexts_.clear();
    if (session_)
        for (auto& trace : analysis::contextTraces(*session_, aligned()))
            contexts_.push_back(std::make_shared<const analysis::ContextTrace>(std::move(trace)));
    showContext();
}

void TimelineView::showContext() {
    const auto index = contextIndex();
    canvas_->setContext(context(), index ? contextNames()[*index] : QString());
    updateGeometry();
    describe();
    emit contextChanged();
}

}  // namespace beatwitness::widgets
