#include "app/windows/flag_commands.h"

#include <QInputDialog>
#include <QMenu>
#include <algorithm>
#include <utility>

#include "app/document/document.h"
#include "app/document/library_document.h"
#include "app/document/reviewing.h"
#include "app/document/selection.h"
#include "app/pages/flags_panel.h"
#include "app/pages/session_page.h"
#include "app/windows/thresholds_dialog.h"
#include "core/analysis/settings_table.h"
#include "widgets/format/number_text.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::app {

using namespace widgets;
using flags::FlaggedTrace;
using flags::FlagKind;
using flags::Verdict;

FlagCommands::FlagCommands(Document& document, LibraryDocument& library, SessionPage& page, QWidget* window)
    : QObject(window),
      document_(document),
      library_(library),
      page_(page),
      window_(window),
      relabel_(new QMenu(tr("&Relabel As"), window)),
      addToTest_(new QMenu(tr("Flag the Selected &Stretch As"), window)),
      addToReference_(new QMenu(tr("Flag the Re&ference There As"), window)) {
    makeVerdicts();
    makeEdges();
    makeAdding();
    makePasses();
    page_.setFlagActions({action(QStringLiteral("keepFlag")), action(QStringLiteral("dismissFlag")),
                          action(QStringLiteral("relabelFlag")), action(QStringLiteral("noteFlag")),
                          action(QStringLiteral("leaveOutFlag")), action(QStringLiteral("undecideFlag"))});
    connect(&document_, &Document::analysisChanged, this, &FlagCommands::refresh);
    connect(&document_, &Document::focusTestChanged, this, &FlagCommands::refresh);
    connect(&document_.reviewing(), &Reviewing::changed, this, &FlagCommands::refresh);
    connect(&page_.flagsPanel(), &FlagsPanel::flagAtHand, this, &FlagCommands::refresh);
    connect(&library_, &LibraryDocument::changed, this, &FlagCommands::refresh);
    connect(&page_.timeline(), &TimelineView::flagMoved, this,
            [this](const flags::Flag* flag, double begin_s, double end_s) {
                move(flags::Flag{*flag}, begin_s, end_s);
            });
    connect(&page_.timeline(), &TimelineView::flagDrawn, this, &FlagCommands::draw);
    refresh();
}

QAction* FlagCommands::add(const QString& text, const QKeySequence& keys, const char* name, Doing doing) {
    auto* action = new QAction(text, this);
    action->setObjectName(QString::fromLatin1(name));
    action->setShortcut(keys);
    window_->addAction(action);
    connect(action, &QAction::triggered, this, std::move(doing));
    all_ << action;
    return action;
}

void FlagCommands::makeVerdicts() {
    add(tr("&Keep"), Qt::Key_K, "keepFlag", [this] {
        decide({Verdict::Kept, {}, {}, {}, {}}, tr("keeping of a flag"));
    });
    add(tr("&Dismiss"), Qt::Key_D, "dismissFlag", [this] {
        decide({Verdict::Dismissed, {}, {}, {}, {}}, tr("dismissal of a flag"));
    });
    add(tr("Relabel …"), Qt::Key_R, "relabelFlag", [this] {
        if (atHand()) askKind(relabel_);
    });
    add(tr("&Note …"), Qt::Key_W, "noteFlag", [this] { writeNote(); });
    add(tr("&Leave Out of the Agreement, or Not"), Qt::Key_L, "leaveOutFlag", [this] {
        leaveOut();
    })->setIconText(tr("Leave out or in"));
    add(tr("&Take the Decision Back"), Qt::Key_U, "undecideFlag", [this] {
        if (const auto* flag = atHand()) document_.reviewing().undecide(flags::Flag{*flag});
    })->setIconText(tr("Take back"));
    fillKinds(*relabel_, "relabel", [this](FlagKind kind) {
        decide({Verdict::Relabelled, kind, {}, {}, {}}, tr("relabelling of a flag"));
    });
}

void FlagCommands::makeEdges() {
    add(tr("Begins at &Cursor"), Qt::CTRL | Qt::Key_BracketLeft, "flagBeginsHere",
        [this] { moveEdge(true, std::nullopt); });
    add(tr("Ends at C&ursor"), Qt::CTRL | Qt::Key_BracketRight, "flagEndsHere",
        [this] { moveEdge(false, std::nullopt); });
    add(tr("Begins 1 s Earlier"), Qt::Key_Comma, "flagBeginsEarlier", [this] { moveEdge(true, -1.0); });
    add(tr("Begins 1 s Later"), Qt::Key_Period, "flagBeginsLater", [this] { moveEdge(true, 1.0); });
    add(tr("Ends 1 s Earlier"), Qt::CTRL | Qt::Key_Comma, "flagEndsEarlier",
        [this] { moveEdge(false, -1.0); });
    add(tr("Ends 1 s Later"), Qt::CTRL | Qt::Key_Period, "flagEndsLater", [this] { moveEdge(false, 1.0); });
}

void FlagCommands::makeAdding() {
    add(tr("Flag the Selected Stretch …"), Qt::Key_G, "addFlag", [this] { askKind(addToTest_); });
    add(tr("Flag the Reference There …"), Qt::SHIFT | Qt::Key_G, "addReferenceFlag",
        [this] { askKind(addToReference_); });
    fillKinds(*addToTest_, "add", [this](FlagKind kind) { addFlag(FlaggedTrace::Test, kind); });
    fillKinds(*addToReference_, "addToReference",
              [this](FlagKind kind) { addFlag(FlaggedTrace::Reference, kind); });
}

void FlagCommands::makePasses() {
    auto* blind = add(tr("&Hide Device Names While Deciding"), Qt::CTRL | Qt::SHIFT | Qt::Key_B, "hideNames",
                      [this] { document_.setBlind(!document_.isBlind()); });
    blind->setCheckable(true);
    add(tr("Begin A&nother Pass"), {}, "beginPass", [this] { document_.reviewing().beginPass(); });
    add(tr("&Finish the Pass"), {}, "finishPass", [this] { document_.reviewing().finishPass(); });
    add(tr("Drop Decisions That Find No Flag"), {}, "dropUnmatched", [this] { dropUnmatched(); });
    add(tr("Thres&holds …"), Qt::CTRL | Qt::SHIFT | Qt::Key_H, "thresholds", [this] { showThresholds(); });
}

void FlagCommands::fillKinds(QMenu& menu, const char* name, std::function<void(FlagKind)> chosen) {
    for (const auto kind : flags::allFlagKinds) {
        auto* one = menu.addAction(flagName(kind));
        one->setObjectName(QString::fromLatin1(name) + QLatin1Char('-') +
                           QString::fromUtf8(flags::flagKindName(kind).data()));
        connect(one, &QAction::triggered, this, [chosen, kind] { chosen(kind); });
    }
}

void FlagCommands::fill(QMenu& session) {
    auto* menu = session.addMenu(tr("Fla&gs"));
    const auto put = [&](std::initializer_list<const char*> names) {
        for (const auto* name : names)
            menu->addAction(action(QString::fromLatin1(name)));
    };
    put({"keepFlag", "dismissFlag", "relabelFlag"});
    menu->addMenu(relabel_);
    put({"noteFlag", "leaveOutFlag", "undecideFlag"});
    menu->addSeparator();
    put({"flagBeginsHere", "flagEndsHere", "flagBeginsEarlier", "flagBeginsLater", "flagEndsEarlier",
         "flagEndsLater"});
    menu->addSeparator();
    put({"addFlag"});
    menu->addMenu(addToTest_);
    put({"addReferenceFlag"});
    menu->addMenu(addToReference_);
    menu->addSeparator();
    put({"hideNames", "beginPass", "finishPass", "dropUnmatched"});
    menu->addSeparator();
    put({"thresholds"});
    page_.flagsPanel().setMenu(menu);
}

void FlagCommands::setProject(std::optional<library::ProjectId> project) {
    project_ = project;
    refresh();
}

void FlagCommands::refresh() {
    const bool present = document_.hasSession();
    const auto* flag = present ? page_.flagsPanel().atHand() : nullptr;
    for (auto* one : all_)
        one->setEnabled(present);
    for (const auto* name :
         {"keepFlag", "dismissFlag", "relabelFlag", "noteFlag", "flagBeginsHere", "flagEndsHere",
          "flagBeginsEarlier", "flagBeginsLater", "flagEndsEarlier", "flagEndsLater"})
        action(QString::fromLatin1(name))->setEnabled(flag != nullptr);
    relabel_->setEnabled(flag != nullptr);
    action(QStringLiteral("leaveOutFlag"))->setEnabled(flag && flag->on == FlaggedTrace::Reference);
    action(QStringLiteral("undecideFlag"))->setEnabled(flag && flag->decision != 0);
    action(QStringLiteral("hideNames"))->setChecked(document_.isBlind());
    const bool open = document_.reviewing().openPass().has_value();
    action(QStringLiteral("beginPass"))->setEnabled(present && !open);
    action(QStringLiteral("finishPass"))->setEnabled(open);
    action(QStringLiteral("dropUnmatched"))
        ->setEnabled(present && !(document_.test().unmatched.empty() &&
                                  document_.analysis()->referenceUnmatched.empty()));
    const bool hasProject = library_.isOpen() && project_;
    action(QStringLiteral("thresholds"))->setEnabled(present || hasProject);
    const int changed =
        present ? static_cast<int>(analysis::changedCount(document_.analysis()->settings)) : 0;
    page_.flagsPanel().setChangedThresholds(changed);
}

const flags::Flag* FlagCommands::atHand() {
    emit pageWanted();
    const auto* flag = document_.hasSession() ? page_.flagsPanel().atHand() : nullptr;
    if (!flag) emit refused(tr("There is no flag at hand: step to one with N, or click on it."));
    return flag;
}

void FlagCommands::decide(const flags::FlagChange& change, const QString& what) {
    // A copy: the decision brings another analysis.
    if (const auto* flag = atHand()) document_.reviewing().decide(flags::Flag{*flag}, change, what);
}

void FlagCommands::move(const flags::Flag& flag, double begin_s, double end_s) {
    if (begin_s >= end_s)
        return emit refused(tr("A flag needs to begin before it ends; move the other edge first."));
    document_.reviewing().decide(
        flag, {Verdict::Moved, {}, trace::SessionSpan{sessionTime(begin_s), sessionTime(end_s)}, {}, {}},
        tr("move of a flag's edge"));
}

void FlagCommands::moveEdge(bool begin, std::optional<double> by) {
    const auto* flag = atHand();
    if (!flag) return;
    if (flag->verdict == Verdict::Dismissed)
        return emit refused(tr("The flag is dismissed; keep it first, then move its edges."));
    auto from = secondsOf(flag->span.begin), to = secondsOf(flag->span.end);
    auto& edge = begin ? from : to;
    const auto cursor = page_.timeline().cursor();
    if (!by && !cursor)
        return emit refused(tr("There is no cursor: click on the timeline, or press an arrow key there."));
    edge = by ? edge + *by : *cursor;
    move(flags::Flag{*flag}, from, to);
}

void FlagCommands::leaveOut() {
    const auto* flag = atHand();
    if (!flag) return;
    if (flag->on != FlaggedTrace::Reference)
        return emit refused(tr("Only seconds in which the reference is wrong can be left out."));
    const bool out = !flag->excluded;
    const bool suspected = flag->decision == 0 && !flag->excluded;
    // What two devices suspect becomes a reference fault by a person's word alone.
    if (suspected && flag->confidence <= 0.5) {
        document_.reviewing().add(FlaggedTrace::Reference, flag->kind, secondsOf(flag->span.begin),
                                  secondsOf(flag->span.end));
        return;
    }
    const auto verdict = flag->verdict.value_or(Verdict::Kept);
    decide({verdict == Verdict::Dismissed ? Verdict::Kept : verdict, {}, {}, out, {}},
           out ? tr("leaving out of a reference fault") : tr("keeping of a reference fault's seconds"));
}

void FlagCommands::writeNote() {
    const auto* found = atHand();
    if (!found) return;
    auto* dialog = new QInputDialog(window_);
    dialog->setObjectName(QStringLiteral("noteDialog"));
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setOption(QInputDialog::UsePlainTextEditForTextInput);
    dialog->setWindowTitle(tr("Note"));
    dialog->setLabelText(tr("Why is it so? A note on a flag that is not decided yet keeps it."));
    dialog->setTextValue(QString::fromStdString(found->note));
    connect(dialog, &QInputDialog::textValueSelected, this, [this, flag = *found](const QString& text) {
        flags::FlagChange change{
            flag.verdict.value_or(Verdict::Kept), {}, {}, {}, text.trimmed().toStdString()};
        document_.reviewing().decide(flag, change, tr("note on a flag"));
    });
    dialog->open();
}

void FlagCommands::askKind(QMenu* menu) {
    emit pageWanted();
    if (menu != relabel_ && !document_.selection().range())
        return emit refused(tr(
            "Select a stretch first: Shift and drag, [ and ] at the cursor, or drag in the device's lane."));
    auto& timeline = page_.timeline();
    menu->popup(timeline.mapToGlobal(QPoint(timeline.width() / 3, timeline.height() / 3)));
    if (!menu->actions().isEmpty()) menu->setActiveAction(menu->actions().constFirst());
}

void FlagCommands::addFlag(FlaggedTrace on, FlagKind kind) {
    const auto range = document_.hasSession() ? document_.selection().range() : std::nullopt;
    if (!range) return askKind(on == FlaggedTrace::Test ? addToTest_ : addToReference_);
    document_.selection().setRange(std::nullopt);
    document_.reviewing().add(on, kind, range->first, range->second);
}

void FlagCommands::draw(int test, double begin_s, double end_s) {
    if (test >= 0) document_.setFocusTest(static_cast<std::size_t>(test));
    document_.selection().setRange(std::pair{begin_s, end_s});
    askKind(test < 0 ? addToReference_ : addToTest_);
}

void FlagCommands::dropUnmatched() {
    document_.reviewing().drop(document_.test().unmatched, document_.analysis()->referenceUnmatched);
}

void FlagCommands::showThresholds() {
    auto* dialog = new ThresholdsDialog(document_, library_, project_, window_);
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->open();
}

QList<QAction*> FlagCommands::withShortcut() const {
    QList<QAction*> list;
    for (auto* one : all_)
        if (!one->shortcut().isEmpty()) list << one;
    return list;
}

QAction* FlagCommands::action(const QString& name) const {
    for (auto* one : all_)
        if (one->objectName() == name) return one;
    for (const auto* menu : {relabel_, addToTest_, addToReference_})
        for (auto* one : menu->actions())
            if (one->objectName() == name) return one;
    return nullptr;
}

}  // namespace beatwitness::app
