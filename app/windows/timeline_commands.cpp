#include "app/windows/timeline_commands.h"

#include <QMenu>
#include <algorithm>
#include <utility>

#include "app/document/annotations.h"
#include "app/document/document.h"
#include "app/document/selection.h"
#include "app/pages/phases_panel.h"
#include "app/pages/pins_panel.h"
#include "app/pages/player.h"
#include "app/pages/session_page.h"
#include "widgets/format/number_text.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::app {

using namespace widgets;

TimelineCommands::TimelineCommands(Document& document, SessionPage& page, QWidget* window)
    : QObject(window), document_(document), page_(page), window_(window) {
    makeGoing();
    makeZooming();
    makeFiltering();
    makePhases();
    makePhaseEdits();
    makePins();
    makeDevices();
    makeClock();
    connect(&document_, &Document::recordingsChanged, this, [this] {
        eventOnReference_.reset();
        eventOnTest_.reset();
    });
    connect(&document_, &Document::focusTestChanged, this, [this] { eventOnTest_.reset(); });
    connect(&document_, &Document::analysisChanged, this, &TimelineCommands::refresh);
    connect(&document_, &Document::focusTestChanged, this, &TimelineCommands::refresh);
    connect(&document_.annotations(), &Annotations::changed, this, &TimelineCommands::refresh);
    connect(&document_.annotations(), &Annotations::selectionChanged, this, &TimelineCommands::refresh);
    connect(&document_.annotations(), &Annotations::proposalsChanged, this, &TimelineCommands::refresh);
    connect(&document_.annotations(), &Annotations::refused, this, &TimelineCommands::refused);
    connect(&document_.selection(), &Selection::changed, this, &TimelineCommands::refresh);
    refresh();
}

QAction* TimelineCommands::add(const QString& text, const QKeySequence& keys, const char* name, Doing doing,
                               Keys where) {
    auto* action = new QAction(text, this);
    action->setObjectName(QString::fromLatin1(name));
    action->setShortcut(keys);
    if (where == Keys::Timeline) {
        action->setShortcutContext(Qt::WidgetShortcut);
        page_.timeline().addAction(action);
    } else {
        window_->addAction(action);
    }
    connect(action, &QAction::triggered, this, std::move(doing));
    all_ << action;
    return action;
}

void TimelineCommands::makeGoing() {
    auto& player = page_.player();
    going_ << add(
        tr("&Play or Pause"), Qt::Key_Space, "play",
        [this, &player] {
            emit pageWanted();
            player.setPlaying(!player.isPlaying());
        },
        Keys::Timeline);
    going_ << add(
        tr("Next &Speed"), Qt::SHIFT | Qt::Key_Space, "nextSpeed", [&player] { player.nextSpeed(); },
        Keys::Timeline);
    going_ << add(tr("Next P&hase"), Qt::SHIFT | Qt::Key_N, "nextPhase", [this] { stepPhase(1); });
    going_ << add(tr("Previous Ph&ase"), Qt::SHIFT | Qt::Key_P, "previousPhase", [this] { stepPhase(-1); });
    going_ << add(tr("Next &Lap"), Qt::CTRL | Qt::Key_N, "nextLap", [this] { stepLap(1); });
    going_ << add(tr("Previous La&p"), Qt::CTRL | Qt::Key_P, "previousLap", [this] { stepLap(-1); });
    going_ << add(tr("Next Filtered S&tretch"), Qt::Key_X, "nextStretch", [this] { stepStretch(1); });
    going_ << add(tr("Pr&evious Filtered Stretch"), Qt::SHIFT | Qt::Key_X, "previousStretch",
                  [this] { stepStretch(-1); });
}

void TimelineCommands::makeZooming() {
    auto& timeline = page_.timeline();
    zooming_ << add(tr("Fit F&lag"), Qt::Key_F, "fitFlag", [this] { fitFlag(); });
    zooming_ << add(tr("Fit &Phase"), Qt::SHIFT | Qt::Key_F, "fitPhase", [this] { fitPhase(); });
    zooming_ << add(tr("Fit &Selection"), Qt::Key_Z, "fitRange", [this, &timeline] {
        if (const auto range = document_.selection().range()) timeline.setRange(range->first, range->second);
    });
    zooming_ << add(tr("View &Back"), Qt::ALT | Qt::Key_Left, "viewBack", [&timeline] { timeline.goBack(); });
    zooming_ << add(tr("View &Forward"), Qt::ALT | Qt::Key_Right, "viewForward",
                    [&timeline] { timeline.goForward(); });
    zooming_ << add(tr("Next &Vertical Scale"), Qt::Key_V, "nextScale", [this] { nextScale(); });
}

void TimelineCommands::makeFiltering() {
    auto& selection = document_.selection();
    filtering_ << add(tr("Selection &Begins at Cursor"), Qt::Key_BracketLeft, "rangeBegin",
                      [this] { setRangeEdge(true); });
    filtering_ << add(tr("Selection &Ends at Cursor"), Qt::Key_BracketRight, "rangeEnd",
                      [this] { setRangeEdge(false); });
    filtering_ << add(tr("Next &Guide Band"), Qt::Key_B, "nextBand", [this] { nextBand(); });
    filtering_ << add(tr("&Clear Filter"), Qt::Key_Escape, "clearFilter", [this, &selection] {
        if (!page_.timeline().cancelGesture()) selection.clear();
    });
}

void TimelineCommands::makePhases() {
    auto& annotations = document_.annotations();
    for (int i = 0; i < trace::phaseKinds; ++i)
        phases_ << add(tr("&%1 %2").arg(i + 1).arg(phaseName(static_cast<trace::PhaseKind>(i))),
                       QKeySequence(Qt::Key_1 + i), qPrintable(QStringLiteral("phase%1").arg(i + 1)),
                       [this, i] { makePhase(i); });
    phases_ << add(tr("Propose from the &Reference"), Qt::CTRL | Qt::Key_G, "proposePhases",
                   [this, &annotations] {
                       emit pageWanted();
                       annotations.proposeFromReference();
                   });
    phases_ << add(tr("Propose from &Laps"), Qt::CTRL | Qt::SHIFT | Qt::Key_G, "proposeLaps",
                   [this, &annotations] {
                       emit pageWanted();
                       annotations.proposeLaps();
                   });
    phases_ << add(
        tr("&Take Over at Cursor"), Qt::Key_Return, "takeProposal", [this] { takeAtCursor(); },
        Keys::Timeline);
    phases_ << add(tr("Take &All Over"), Qt::CTRL | Qt::Key_Return, "takeAllProposals",
                   [&annotations] { annotations.takeAllProposals(); });
    phases_ << add(tr("&Dismiss Proposals"), Qt::CTRL | Qt::SHIFT | Qt::Key_Return, "dropProposals",
                   [&annotations] { annotations.dropProposals(); });
}

void TimelineCommands::makePhaseEdits() {
    phases_ << add(tr("&Name or Times …"), Qt::Key_F2, "renamePhase", [this] {
        emit pageWanted();
        if (const auto at = phaseAtHand()) document_.annotations().selectPhase(at);
        page_.phasesPanel().rename();
    });
    phases_ << add(tr("&Split at Cursor"), Qt::Key_S, "splitPhase", [this] { split(); });
    phases_ << add(tr("&Join with Next"), Qt::Key_J, "joinPhase", [this] { join(); });
    phases_ << add(tr("&Copy to Other Sessions …"), Qt::CTRL | Qt::ALT | Qt::Key_P, "copyPhases",
                   [this] { emit phaseCopiesWanted(); });
    phases_ << add(
        tr("D&elete"), Qt::Key_Delete, "deletePhase", [this] { erase(); }, Keys::Timeline);
    const struct {
        QString text;
        QKeySequence keys;
        const char* name;
        bool begin;
        int by;
    } nudges[] = {{tr("Begin 1 s Earlier"), Qt::SHIFT | Qt::Key_Left, "beginEarlier", true, -1},
                  {tr("Begin 1 s Later"), Qt::SHIFT | Qt::Key_Right, "beginLater", true, 1},
                  {tr("End 1 s Earlier"), Qt::CTRL | Qt::SHIFT | Qt::Key_Left, "endEarlier", false, -1},
                  {tr("End 1 s Later"), Qt::CTRL | Qt::SHIFT | Qt::Key_Right, "endLater", false, 1}};
    for (const auto& one : nudges)
        phases_ << add(
            one.text, one.keys, one.name, [this, begin = one.begin, by = one.by] { nudge(begin, by); },
            Keys::Timeline);
}

void TimelineCommands::makePins() {
    pins_ << add(tr("&Pin at Cursor"), Qt::Key_M, "pin", [this] { pinHere(); });
    pins_ << add(tr("&Remove Selected Pins"), Qt::SHIFT | Qt::Key_M, "removePins",
                 [this] { page_.pinsPanel().removeSelected(); });
    pins_ << add(tr("&Copy Pins and Phases"), Qt::CTRL | Qt::SHIFT | Qt::Key_M, "copyMarks",
                 [this] { copyMarks(); });
}

void TimelineCommands::makeDevices() {
    devices_ << add(tr("&Hide Device in Front"), Qt::Key_H, "hideDevice", [this] { hideFocusTest(); });
    devices_ << add(tr("Move Device in Front &Up"), Qt::CTRL | Qt::Key_Up, "deviceUp",
                    [this] { moveFocusTest(-1); });
    devices_ << add(tr("Move Device in Front &Down"), Qt::CTRL | Qt::Key_Down, "deviceDown",
                    [this] { moveFocusTest(1); });
    auto* all = add(tr("&Errors of All Devices"), Qt::Key_E, "allErrors", [this] {
        page_.timeline().setAllErrors(!page_.timeline().allErrors());
        refresh();
    });
    all->setCheckable(true);
    devices_ << all;
}

void TimelineCommands::makeClock() {
    clock_ << add(tr("Clocks &Share a Source"), Qt::CTRL | Qt::SHIFT | Qt::Key_K, "sharedClock", [this] {
        document_.align(alignment::Method::Offset, {}, {}, analysis::OffsetReason::SharedClock);
    });
    clock_ << add(tr("Sync Event on the &Reference at Cursor"), Qt::CTRL | Qt::Key_E, "eventOnReference",
                  [this] { markEvent(true); });
    clock_ << add(tr("Same Event on the &Device at Cursor"), Qt::CTRL | Qt::SHIFT | Qt::Key_E, "eventOnTest",
                  [this] { markEvent(false); });
    clock_ << add(tr("&Offsets over Sessions …"), Qt::CTRL | Qt::SHIFT | Qt::Key_T, "offsets",
                  [this] { emit offsetsWanted(); });
}

void TimelineCommands::fill(QMenu& view, QMenu& session) {
    const auto submenu = [this](QMenu& parent, const QString& title, const QList<QAction*>& actions) {
        auto* menu = parent.addMenu(title);
        menu->addActions(actions);
        menus_ << menu;
        return menu;
    };
    view.addSeparator();
    submenu(view, tr("G&o"), going_);
    submenu(view, tr("Ti&me Axis and Scale"), zooming_);
    auto* filter = submenu(view, tr("Fi&lter"), filtering_);
    phaseFilter_ = filter->addMenu(tr("Only &Phases"));
    flagFilter_ = filter->addMenu(tr("Only &Flags"));
    deviceMenu_ = submenu(view, tr("&Devices"), devices_);
    deviceMenu_->addSeparator();
    session.addSeparator();
    submenu(session, tr("Cl&ock Known Otherwise"), clock_);
    submenu(session, tr("&Phases"), phases_);
    submenu(session, tr("P&ins"), pins_);
    connect(phaseFilter_, &QMenu::aboutToShow, this, &TimelineCommands::fillPhaseFilter);
    connect(flagFilter_, &QMenu::aboutToShow, this, &TimelineCommands::fillFlagFilter);
    connect(deviceMenu_, &QMenu::aboutToShow, this, &TimelineCommands::fillDevices);
    refresh();
}

void TimelineCommands::refresh() {
    const bool present = document_.hasSession();
    for (auto* one : all_)
        one->setEnabled(present);
    for (auto* menu : menus_)
        menu->setEnabled(present);
    if (!present) return;
    const bool filtered = document_.selection().isActive();
    for (const auto* name : {"clearFilter", "nextStretch", "previousStretch"})
        action(QString::fromLatin1(name))->setEnabled(filtered);
    const bool proposed = !document_.annotations().proposals().empty();
    for (const auto* name : {"takeProposal", "takeAllProposals", "dropProposals"})
        action(QString::fromLatin1(name))->setEnabled(proposed);
    action(QStringLiteral("offsets"))->setEnabled(document_.isStored());
    action(QStringLiteral("copyPhases"))
        ->setEnabled(document_.isStored() && !document_.annotations().phases().empty());
    action(QStringLiteral("allErrors"))->setChecked(page_.timeline().allErrors());
    const bool several = document_.analysis()->tests.size() > 1;
    for (auto* one : devices_)
        one->setEnabled(several);
}

void TimelineCommands::fillPhaseFilter() {
    phaseFilter_->clear();
    auto& selection = document_.selection();
    std::set<std::string> labels;
    for (const auto& phase : document_.annotations().phases())
        labels.insert(trace::phaseLabel(phase));
    if (labels.empty()) phaseFilter_->addAction(tr("There are no phases"))->setEnabled(false);
    for (const auto& label : labels) {
        auto* one = phaseFilter_->addAction(QString::fromStdString(label));
        one->setCheckable(true);
        one->setChecked(selection.phases().contains(label));
        connect(one, &QAction::triggered, this, [&selection, label](bool on) {
            auto wanted = selection.phases();
            on ? (void)wanted.insert(label) : (void)wanted.erase(label);
            selection.setPhases(std::move(wanted));
        });
    }
}

void TimelineCommands::fillFlagFilter() {
    flagFilter_->clear();
    auto& selection = document_.selection();
    std::set<flags::FlagKind> kinds;
    for (const auto& flag : document_.test().flags)
        kinds.insert(flag.kind);
    if (kinds.empty()) flagFilter_->addAction(tr("There are no flags"))->setEnabled(false);
    for (const auto kind : kinds) {
        auto* one = flagFilter_->addAction(flagName(kind));
        one->setCheckable(true);
        one->setChecked(selection.flags().contains(kind));
        connect(one, &QAction::triggered, this, [&selection, kind](bool on) {
            auto wanted = selection.flags();
            on ? (void)wanted.insert(kind) : (void)wanted.erase(kind);
            selection.setFlags(std::move(wanted));
        });
    }
}

void TimelineCommands::fillDevices() {
    // The commands stay; what follows them are the devices.
    for (auto* one : deviceMenu_->actions())
        if (one->property("device").isValid()) deviceMenu_->removeAction(one);
    const auto shown = page_.timeline().shownTests();
    for (int i = 0; i < static_cast<int>(document_.analysis()->tests.size()); ++i) {
        auto* one = deviceMenu_->addAction(testName(*document_.analysis(), i));
        one->setProperty("device", i);
        one->setCheckable(true);
        one->setChecked(std::ranges::find(shown, i) != shown.end());
        connect(one, &QAction::triggered, this, [this, i](bool on) {
            auto wanted = page_.timeline().shownTests();
            std::erase(wanted, i);
            if (on) wanted.push_back(i);
            page_.timeline().setShownTests(std::move(wanted));
        });
    }
}

QList<QAction*> TimelineCommands::withShortcut() const {
    QList<QAction*> list;
    for (auto* one : all_)
        if (!one->shortcut().isEmpty()) list << one;
    return list;
}

QAction* TimelineCommands::action(const QString& name) const {
    for (auto* one : all_)
        if (one->objectName() == name) return one;
    return nullptr;
}

}  // namespace beatwitness::app
