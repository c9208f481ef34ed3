#include "app/windows/commands.h"

#include <QActionGroup>
#include <QMenu>
#include <QMenuBar>
#include <QUndoStack>

#include "widgets/inputs/ink_icon.h"

namespace beatwitness::app {

Commands::Commands(QUndoStack& stack, QWidget* parent) : QObject(parent), window_(parent) {
    open = add(tr("&Open Recordings …"), QKeySequence::Open, "open", "open");
    import = add(tr("&Import into Library …"), Qt::CTRL | Qt::Key_I, "import");
    paste = add(tr("&Paste Recordings"), QKeySequence::Paste, "paste");
    sample = add(tr("Open &Sample Pair"), Qt::CTRL | Qt::SHIFT | Qt::Key_O, "sample", "sample");
    copyNumbers = add(tr("&Copy Numbers"), Qt::CTRL | Qt::SHIFT | Qt::Key_C, "copyNumbers", "copy");
    // Some platforms know no standard key for quitting.
    const auto quitKeys = QKeySequence::keyBindings(QKeySequence::Quit);
    quit =
        add(tr("&Quit"), quitKeys.isEmpty() ? QKeySequence(Qt::CTRL | Qt::Key_Q) : quitKeys.front(), "quit");
    undo = stack.createUndoAction(this, tr("&Undo"));
    redo = stack.createRedoAction(this, tr("&Redo"));
    undo->setShortcuts(QKeySequence::Undo);
    redo->setShortcuts(QKeySequence::Redo);
    undo->setIcon(widgets::inkIcon(QStringLiteral("undo")));
    redo->setIcon(widgets::inkIcon(QStringLiteral("redo")));
    window_->addActions({undo, redo});
    all_ << undo << redo;
    clear = add(tr("&Clear Session"), Qt::CTRL | Qt::Key_Backspace, "clear");

    sessionPage = add(tr("&Session"), Qt::CTRL | Qt::Key_1, "sessionPage");
    agreementPage = add(tr("A&greement"), Qt::CTRL | Qt::Key_2, "agreementPage");
    comparePage = add(tr("&Compare"), Qt::CTRL | Qt::Key_3, "comparePage");
    toggleClock = add(tr("&Aligned Clock"), Qt::Key_A, "toggleClock", "clock");
    toggleClock->setCheckable(true);
    zoomIn = add(tr("Zoom &In"), QKeySequence::ZoomIn, "zoomIn", "zoom-in");
    zoomOut = add(tr("Zoom &Out"), QKeySequence::ZoomOut, "zoomOut", "zoom-out");
    fit = add(tr("&Fit Whole Session"), Qt::CTRL | Qt::Key_0, "fit", "fit");
    nextContext = add(tr("Next &Channel Below"), Qt::SHIFT | Qt::Key_C, "nextContext");
    nextPane = add(tr("&Next Pane"), Qt::Key_F6, "nextPane");
    makeThemeGroup();

    swap = add(tr("&Swap Reference and Test"), Qt::CTRL | Qt::Key_R, "swap", "swap");
    typeOffset = add(tr("&Type an Offset …"), Qt::CTRL | Qt::Key_T, "typeOffset");
    alignAuto = add(tr("Align &Automatically"), Qt::CTRL | Qt::Key_L, "alignAuto");
    alignNone = add(tr("N&o Alignment"), Qt::CTRL | Qt::SHIFT | Qt::Key_L, "alignNone");
    nextTest = add(tr("Next &Device"), Qt::Key_T, "nextTest");
    nextFlag = add(tr("&Next Flag"), Qt::Key_N, "nextFlag");
    previousFlag = add(tr("&Previous Flag"), Qt::Key_P, "previousFlag");

    shortcuts = add(tr("&Keyboard Shortcuts"), QKeySequence::HelpContents, "shortcuts");
    about = add(tr("&About Beatwitness"), {}, "about");
    quit->setMenuRole(QAction::QuitRole);
    about->setMenuRole(QAction::AboutRole);
}

QAction* Commands::add(const QString& text, const QKeySequence& keys, const char* name, const char* icon) {
    auto* action = new QAction(text, this);
    action->setObjectName(QString::fromLatin1(name));
    action->setShortcut(keys);
    if (icon) action->setIcon(widgets::inkIcon(QString::fromLatin1(icon)));
    window_->addAction(action);
    all_ << action;
    return action;
}

void Commands::makeThemeGroup() {
    themeSystem = add(tr("As the &System"), {}, "themeSystem");
    themeLight = add(tr("&Light"), {}, "themeLight");
    themeDark = add(tr("&Dark"), {}, "themeDark");
    auto* group = new QActionGroup(this);
    for (auto* action : {themeSystem, themeLight, themeDark}) {
        action->setCheckable(true);
        group->addAction(action);
    }
}

void Commands::fill(QMenuBar& bar) {
    auto* file = bar.addMenu(tr("&File"));
    file->addActions({open, import, sample});
    file->addSeparator();
    file->addAction(copyNumbers);
    file->addSeparator();
    file->addAction(quit);
    auto* edit = bar.addMenu(tr("&Edit"));
    edit->addActions({undo, redo});
    edit->addSeparator();
    edit->addAction(paste);
    edit->addSeparator();
    edit->addAction(clear);
    auto* view = viewMenu_ = bar.addMenu(tr("&View"));
    view->addActions({sessionPage, agreementPage, comparePage});
    view->addSeparator();
    view->addActions({toggleClock, zoomIn, zoomOut, fit});
    view->addSeparator();
    contextMenu_ = view->addMenu(tr("Show &Below"));
    view->addAction(nextContext);
    view->addSeparator();
    view->addAction(nextPane);
    auto* theme = view->addMenu(tr("&Theme"));
    theme->addActions({themeSystem, themeLight, themeDark});
    auto* session = sessionMenu_ = bar.addMenu(tr("&Session"));
    session->addAction(swap);
    referenceMenu_ = session->addMenu(tr("&Reference Is"));
    readAsMenu_ = session->addMenu(tr("R&ead As"));
    session->addSeparator();
    session->addActions({alignAuto, typeOffset, alignNone});
    session->addSeparator();
    session->addActions({nextFlag, previousFlag, nextTest});
    auto* help = bar.addMenu(tr("&Help"));
    help->addActions({shortcuts, about});
}

void Commands::setSessionPresent(bool present) {
    for (auto* action :
         {copyNumbers, clear, sessionPage, agreementPage, toggleClock, zoomIn, zoomOut, fit, nextContext,
          swap, typeOffset, alignAuto, alignNone, nextTest, nextFlag, previousFlag})
        action->setEnabled(present);
    for (auto* menu : {referenceMenu_, contextMenu_, readAsMenu_})
        if (menu) menu->setEnabled(present);
}

QList<QAction*> Commands::withShortcut() const {
    QList<QAction*> list;
    for (auto* action : all_)
        if (!action->shortcut().isEmpty()) list << action;
    return list;
}

}  // namespace beatwitness::app
