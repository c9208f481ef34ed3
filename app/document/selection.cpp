#include "app/document/selection.h"

#include <QStringList>
#include <algorithm>
#include <utility>

#include "app/document/annotations.h"
#include "app/document/document.h"
#include "widgets/format/number_text.h"
#include "widgets/plots/cursor_reading.h"

namespace beatwitness::app {

using namespace widgets;

Selection::Selection(Document& document, Annotations& annotations)
    : QObject(&document), document_(document), annotations_(annotations) {
    connect(&document_, &Document::recordingsChanged, this, &Selection::clear);
    connect(&document_, &Document::analysisChanged, this, &Selection::refresh);
    connect(&document_, &Document::clockViewChanged, this, &Selection::refresh);
    connect(&document_, &Document::focusTestChanged, this, &Selection::refresh);
    connect(&annotations_, &Annotations::changed, this, &Selection::refresh);
}

void Selection::setRange(std::optional<std::pair<double, double>> seconds) {
    if (seconds == range_) return;
    range_ = seconds;
    refresh();
}

void Selection::setPhases(std::set<std::string> labels) {
    if (labels == phases_) return;
    phases_ = std::move(labels);
    refresh();
}

void Selection::setFlags(std::set<flags::FlagKind> kinds) {
    if (kinds == flags_) return;
    flags_ = std::move(kinds);
    refresh();
}

void Selection::setBox(std::optional<agreement::RateBox> box) {
    if (box == box_ && !band_) return;
    box_ = box;
    band_.reset();
    refresh();
}

void Selection::setBand(std::optional<agreement::GuideBand> band) {
    if (band == band_ && !box_) return;
    band_ = band;
    box_.reset();
    refresh();
}

void Selection::clear() {
    range_.reset();
    phases_.clear();
    flags_.clear();
    box_.reset();
    band_.reset();
    refresh();
}

agreement::PairFilter Selection::filter() const {
    agreement::PairFilter filter;
    if (range_) filter.range = {sessionTime(range_->first), sessionTime(range_->second)};
    if (!phases_.empty()) {
        filter.phases.emplace();
        for (const auto& phase : annotations_.phases())
            if (phases_.contains(trace::phaseLabel(phase)))
                filter.phases->push_back({sessionTime(annotations_.secondsAt(phase.span.begin)),
                                          sessionTime(annotations_.secondsAt(phase.span.end))});
    }
    if (!flags_.empty()) {
        filter.flags.emplace();
        for (const auto& flag : document_.test().flags)
            if (flags_.contains(flag.kind)) filter.flags->push_back(flag.span);
    }
    filter.box = box_;
    filter.band = band_;
    return filter;
}

void Selection::refresh() {
    if (!document_.hasSession()) {
        active_ = false;
        selected_ = {};
        return emit changed();
    }
    const auto asked = filter();
    const auto& view = shownView(document_.test(), document_.showsAligned());
    active_ = !asked.asksForNothing();
    if (active_) {
        selected_.pairs = std::make_shared<const trace::Pairs>(agreement::filtered(view.pairs, asked));
        selected_.numbers = agreement::agreementOf(*selected_.pairs);
        selected_.stretches = agreement::stretchesOf(*selected_.pairs);
    } else {
        selected_ = {nullptr, view.agreement, {}};
    }
    emit changed();
}

QString Selection::words() const {
    QStringList parts;
    if (range_) parts << tr("%1 to %2").arg(sessionTimeText(range_->first), sessionTimeText(range_->second));
    QStringList labels;
    for (const auto& label : phases_)
        labels << QString::fromStdString(label);
    if (!labels.isEmpty()) parts << tr("phase %1").arg(labels.join(tr(" or ")));
    QStringList kinds;
    for (const auto kind : flags_)
        kinds << flagName(kind);
    if (!kinds.isEmpty()) parts << tr("flag %1").arg(kinds.join(tr(" or ")));
    if (box_)
        parts << tr("reference %1 to %2, test %3 to %4 bpm")
                     .arg(numberText(box_->referenceLow_bpm, 0), numberText(box_->referenceHigh_bpm, 0),
                          numberText(box_->testLow_bpm, 0), numberText(box_->testHigh_bpm, 0));
    if (band_) {
        const QString guide = band_->ratio < 1   ? QStringLiteral("1:2")
                              : band_->ratio > 1 ? QStringLiteral("2:1")
                                                 : QStringLiteral("1:1");
        parts << tr("within %1 bpm of %2").arg(numberText(band_->halfWidth_bpm, 0), guide);
    }
    return parts.join(QStringLiteral(" \u00B7 "));
}

std::optional<trace::SessionSpan> Selection::stretchFrom(double from, int by) const {
    const auto& stretches = selected_.stretches;
    if (by > 0) {
        for (const auto& stretch : stretches)
            if (secondsOf(stretch.begin) > from) return stretch;
    } else {
        for (auto stretch = stretches.rbegin(); stretch != stretches.rend(); ++stretch)
            if (secondsOf(stretch->end) < from) return *stretch;
    }
    return std::nullopt;
}

}  // namespace beatwitness::app
