// What the review's commands do.
#include <QApplication>
#include <QClipboard>
#include <algorithm>
#include <cmath>
#include <utility>

#include "app/document/annotations.h"
#include "app/document/document.h"
#include "app/document/selection.h"
#include "app/pages/flags_panel.h"
#include "app/pages/phases_panel.h"
#include "app/pages/session_page.h"
#include "app/windows/timeline_commands.h"
#include "widgets/format/number_text.h"
#include "widgets/plots/cursor_reading.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::app {

using namespace widgets;

std::optional<double> TimelineCommands::cursor() {
    const auto cursor = page_.timeline().cursor();
    if (!cursor) emit refused(tr("There is no cursor: click on the timeline, or press an arrow key there."));
    return cursor;
}

/// The selected phase, else the innermost one at the cursor.
std::optional<std::size_t> TimelineCommands::phaseAtHand() const {
    const auto& annotations = document_.annotations();
    if (annotations.selectedPhase()) return annotations.selectedPhase();
    const auto cursor = page_.timeline().cursor();
    if (!cursor || !document_.hasSession()) return std::nullopt;
    return trace::innermostAt(annotations.phases(), annotations.instantAt(*cursor));
}

void TimelineCommands::stepThrough(std::vector<double> seconds, int by) {
    emit pageWanted();
    auto& timeline = page_.timeline();
    const double from = timeline.cursor().value_or(by > 0 ? -1e12 : 1e12);
    std::ranges::sort(seconds);
    std::optional<double> found;
    for (const double second : seconds)
        if (by > 0 ? std::round(second) > from && !found : std::round(second) < from) found = second;
    if (!found) return;
    timeline.setCursor(found);
    timeline.stepCursor(0);  // into sight
}

void TimelineCommands::stepPhase(int by) {
    auto& annotations = document_.annotations();
    std::vector<double> begins;
    for (const auto& phase : annotations.phases())
        begins.push_back(annotations.secondsAt(phase.span.begin));
    if (begins.empty()) return emit refused(tr("There are no phases to go to."));
    stepThrough(std::move(begins), by);
    if (const auto at = page_.timeline().cursor())
        annotations.selectPhase(trace::innermostAt(annotations.phases(), annotations.instantAt(*at + 0.5)));
}

void TimelineCommands::stepLap(int by) {
    auto& annotations = document_.annotations();
    std::vector<double> begins;
    for (const auto& lap : annotations.laps())
        begins.push_back(annotations.secondsAt(lap.span.begin));
    if (begins.empty()) return emit refused(tr("None of the recordings holds laps."));
    stepThrough(std::move(begins), by);
}

void TimelineCommands::stepStretch(int by) {
    const auto& selection = document_.selection();
    auto& timeline = page_.timeline();
    const double from = timeline.cursor().value_or(by > 0 ? -1e12 : 1e12);
    const auto stretch = selection.stretchFrom(from, by);
    if (!stretch)
        return emit refused(by > 0 ? tr("That was the last stretch.") : tr("That was the first stretch."));
    emit pageWanted();
    timeline.centreOn({secondsOf(stretch->begin), secondsOf(stretch->end)}, secondsOf(stretch->begin));
}

void TimelineCommands::fitFlag() {
    if (const auto* flag = page_.flagsPanel().atHand())
        page_.timeline().centreOn({secondsOf(flag->span.begin), secondsOf(flag->span.end)});
    else
        emit refused(tr("No flag is at hand: N goes to the next one."));
}

void TimelineCommands::fitPhase() {
    const auto at = phaseAtHand();
    if (!at) return emit refused(tr("There is no phase at the cursor."));
    const auto& annotations = document_.annotations();
    const auto& span = annotations.phases()[*at].span;
    page_.timeline().setRange(annotations.secondsAt(span.begin), annotations.secondsAt(span.end));
}

void TimelineCommands::nextScale() {
    auto& timeline = page_.timeline();
    timeline.setScale(timeline.scale() == TimelineView::Scale::Session   ? TimelineView::Scale::InSight
                      : timeline.scale() == TimelineView::Scale::InSight ? TimelineView::Scale::Common
                                                                         : TimelineView::Scale::Session);
}

void TimelineCommands::setRangeEdge(bool begin) {
    const auto at = cursor();
    if (!at) return;
    auto& selection = document_.selection();
    const auto extent = page_.timeline().extent();
    auto range =
        selection.range().value_or(begin ? std::pair{*at, extent.second} : std::pair{extent.first, *at});
    (begin ? range.first : range.second) = *at;
    // The other edge gives way to the one that is set.
    if (range.first >= range.second)
        range = begin ? std::pair{*at, extent.second} : std::pair{extent.first, *at};
    if (range.first < range.second) selection.setRange(range);
}

void TimelineCommands::makePhase(int kind) {
    emit pageWanted();
    auto& annotations = document_.annotations();
    const auto wanted = static_cast<trace::PhaseKind>(kind);
    if (const auto range = document_.selection().range()) {
        if (annotations.addPhase({annotations.instantAt(range->first), annotations.instantAt(range->second)},
                                 wanted))
            document_.selection().setRange(std::nullopt);
        return;
    }
    const auto at = annotations.selectedPhase();
    if (!at)
        return emit refused(
            tr("Select a stretch first: Shift and drag, or [ and ] at the cursor; then 1 to 9 makes it a "
               "phase."));
    auto plan = annotations.phases();
    plan[*at].kind = wanted;
    annotations.changePhases(std::move(plan), tr("kind of a phase"));
}

void TimelineCommands::nudge(bool begin, int by) {
    auto& annotations = document_.annotations();
    const auto at = annotations.selectedPhase();
    if (!at) {
        auto range = document_.selection().range();
        if (!range) return;
        (begin ? range->first : range->second) += by;
        if (range->first < range->second) document_.selection().setRange(range);
        return;
    }
    auto span = annotations.phases()[*at].span;
    (begin ? span.begin : span.end) += std::chrono::seconds{by};
    annotations.changePhases(trace::withSpan(annotations.phases(), *at, span), tr("move of a phase"),
                             span.begin);
}

void TimelineCommands::split() {
    auto& annotations = document_.annotations();
    const auto at = cursor();
    if (!at) return;
    const auto index = trace::innermostAt(annotations.phases(), annotations.instantAt(*at));
    if (!index) return emit refused(tr("There is no phase at the cursor."));
    annotations.changePhases(trace::splitPhase(annotations.phases(), *index, annotations.instantAt(*at)),
                             tr("split of a phase"), annotations.instantAt(*at));
}

void TimelineCommands::join() {
    auto& annotations = document_.annotations();
    const auto at = phaseAtHand();
    if (!at) return emit refused(tr("There is no phase at the cursor."));
    annotations.changePhases(trace::joinWithNext(annotations.phases(), *at), tr("joining of phases"),
                             annotations.phases()[*at].span.begin);
}

void TimelineCommands::erase() {
    auto& annotations = document_.annotations();
    const auto at = phaseAtHand();
    if (!at) return emit refused(tr("There is no phase at the cursor."));
    annotations.selectPhase(std::nullopt);
    annotations.changePhases(trace::withoutPhase(annotations.phases(), *at), tr("deletion of a phase"));
}

void TimelineCommands::takeAtCursor() {
    auto& annotations = document_.annotations();
    const auto at = cursor();
    if (!at) return;
    const auto time = annotations.instantAt(*at);
    for (std::size_t i = 0; i < annotations.proposals().size(); ++i) {
        const auto& span = annotations.proposals()[i].span;
        if (span.begin <= time && time < span.end) return annotations.takeProposal(i);
    }
    emit refused(tr("There is no proposal at the cursor."));
}

void TimelineCommands::pinHere() {
    if (const auto at = cursor()) document_.annotations().addPin(document_.annotations().instantAt(*at));
}

void TimelineCommands::copyMarks() {
    const auto& annotations = document_.annotations();
    const auto& session = *document_.analysis();
    QString text = tr("what\tname\tkind\tfrom, s\tto, s\twall clock\n");
    for (const auto& pin : annotations.pins()) {
        const double at = annotations.secondsAt(pin.at);
        text += tr("pin") + QStringLiteral("\t%1\t\t%2\t\t%3\n")
                                .arg(QString::fromStdString(pin.note))
                                .arg(at, 0, 'f', 3)
                                .arg(wallClockText(session, at));
    }
    for (const auto& phase : annotations.phases()) {
        const double begin = annotations.secondsAt(phase.span.begin);
        const auto kind = trace::phaseKindName(phase.kind);
        text += tr("phase") + QStringLiteral("\t%1\t%2\t%3\t%4\t%5\n")
                                  .arg(QString::fromStdString(phase.label),
                                       QString::fromUtf8(kind.data(), static_cast<qsizetype>(kind.size())))
                                  .arg(begin, 0, 'f', 3)
                                  .arg(annotations.secondsAt(phase.span.end), 0, 'f', 3)
                                  .arg(wallClockText(session, begin));
    }
    QApplication::clipboard()->setText(text);
}

void TimelineCommands::nextBand() {
    auto& selection = document_.selection();
    const auto& band = selection.band();
    if (!band)
        selection.setBand(agreement::GuideBand{1.0});
    else if (band->ratio == 1.0)
        selection.setBand(agreement::GuideBand{0.5});
    else if (band->ratio == 0.5)
        selection.setBand(agreement::GuideBand{2.0});
    else
        selection.setBand(std::nullopt);
}

void TimelineCommands::hideFocusTest() {
    const int focus = static_cast<int>(document_.focusTest());
    auto shown = page_.timeline().shownTests();
    if (std::erase(shown, focus) == 0) shown.push_back(focus);
    page_.timeline().setShownTests(std::move(shown));
}

void TimelineCommands::moveFocusTest(int by) {
    auto shown = page_.timeline().shownTests();
    const auto at = std::ranges::find(shown, static_cast<int>(document_.focusTest()));
    if (at == shown.end()) return;
    const auto to = at - shown.begin() + by;
    if (to < 0 || to >= static_cast<std::ptrdiff_t>(shown.size())) return;
    std::swap(*at, shown[static_cast<std::size_t>(to)]);
    page_.timeline().setShownTests(std::move(shown));
}

/// Two marks of one event, in either order, give the offset: each clock's own reading of it.
void TimelineCommands::markEvent(bool onReference) {
    emit pageWanted();
    const auto at = cursor();
    if (!at) return;
    const auto& view = shownView(document_.test(), document_.showsAligned());
    if (onReference)
        eventOnReference_ = document_.annotations().instantAt(*at);
    else
        eventOnTest_ = view.correction.toTest(sessionTime(*at));
    if (!eventOnReference_ || !eventOnTest_)
        return emit told(
            tr("Marked at %1").arg(sessionTimeText(*at)),
            onReference ? tr("Now put the cursor on the same event of the device and mark it there.")
                        : tr("Now put the cursor on the same event of the reference and mark it there."));
    const Micros apart = eventOnReference_->time_since_epoch() - eventOnTest_->time_since_epoch();
    eventOnReference_.reset();
    eventOnTest_.reset();
    document_.align(alignment::Method::Offset, toSeconds(apart), {}, analysis::OffsetReason::SyncEvent);
}

}  // namespace beatwitness::app
