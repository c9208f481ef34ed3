#include "app/windows/help_dialogs.h"

#include <QAction>
#include <QCoreApplication>
#include <QDialog>
#include <QDialogButtonBox>
#include <QGridLayout>
#include <QLabel>
#include <QScrollArea>
#include <utility>

#include "core/foundation/version.h"
#include "core/report/cautions.h"
#include "widgets/inputs/ink_icon.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

QString tr(const char* text) {
    return QCoreApplication::translate("HelpDialogs", text);
}

QString fromCore(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

/// A window of one scrolling column with a Close button; the caller fills the layout.
QVBoxLayout* openSheet(const QString& title, const char* name, QSize size, QWidget* parent) {
    auto* dialog = new QDialog(parent);
    dialog->setObjectName(QString::fromLatin1(name));
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setWindowTitle(title);
    auto* contents = new QWidget(dialog);
    auto* column = new QVBoxLayout(contents);
    auto* scroll = new QScrollArea(dialog);
    scroll->setFrameShape(QFrame::NoFrame);
    scroll->setWidgetResizable(true);
    scroll->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    scroll->setWidget(contents);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, dialog);
    QObject::connect(buttons, &QDialogButtonBox::rejected, dialog, &QDialog::reject);
    auto* outer = new QVBoxLayout(dialog);
    outer->addWidget(scroll, 1);
    outer->addWidget(buttons);
    dialog->resize(size);
    dialog->open();
    return column;
}

void addKey(QGridLayout& grid, const QString& what, const QString& keys) {
    const int row = grid.rowCount();
    grid.addWidget(new QLabel(what), row, 0);
    auto* label = makeStrong(keys, grid.parentWidget());
    label->setWordWrap(false);
    grid.addWidget(label, row, 1, Qt::AlignRight);
}

constexpr std::pair<const char*, const char*> plotKeys[] = {
    {QT_TR_NOOP("Cursor by 1 s"), "← →"},
    {QT_TR_NOOP("Cursor by 10 s"), "Page Up, Page Down"},
    {QT_TR_NOOP("Zoom"), "+ −"},
    {QT_TR_NOOP("Whole session"), "0"},
    {QT_TR_NOOP("Pan"), "Ctrl+← Ctrl+→"},
    {QT_TR_NOOP("Start, end"), "Home, End"},
    {QT_TR_NOOP("Let the cursor go"), "Esc"},
    {QT_TR_NOOP("Select a stretch of the timeline"), "Shift+drag"},
    {QT_TR_NOOP("Zoom to a stretch"), "Ctrl+drag"},
    {QT_TR_NOOP("Edge without snapping"), "Alt+drag"},
    {QT_TR_NOOP("Next cell of the map"), "← → ↑ ↓"},
    {QT_TR_NOOP("Box of cells of the map"), "Shift+← → ↑ ↓"},
    {QT_TR_NOOP("Marker of the loss curve by 0.1 s, 1 s"), "← →, Ctrl+← →"},
};

}  // namespace

void showShortcuts(const QList<QAction*>& actions, QWidget* parent) {
    auto* column = openSheet(tr("Keyboard Shortcuts"), "shortcutSheet", {480, 620}, parent);
    auto* everywhere = new QGridLayout;
    column->addWidget(makeStrong(tr("Anywhere"), column->parentWidget()));
    column->addLayout(everywhere);
    for (const auto* action : actions) {
        QString text = action->text();
        addKey(*everywhere, text.remove(QLatin1Char('&')),
               action->shortcut().toString(QKeySequence::NativeText));
    }
    column->addSpacing(10);
    column->addWidget(makeStrong(tr("While a plot has the keyboard"), column->parentWidget()));
    auto* plots = new QGridLayout;
    column->addLayout(plots);
    for (const auto& [what, keys] : plotKeys)
        addKey(*plots, tr(what), QString::fromUtf8(keys));
    column->addStretch(1);
}

void showAbout(QWidget* parent) {
    auto* column = openSheet(tr("About Beatwitness"), "aboutSheet", {560, 560}, parent);
    auto* owner = column->parentWidget();
    auto* icon = new QLabel(owner);
    icon->setPixmap(applicationIcon().pixmap(64, 64));
    column->addWidget(icon);
    column->addWidget(makeHeading(fromCore(programVersion()), owner));
    column->addWidget(
        makeBody(tr("A review workstation: how well a wearable’s heart rate agrees with a reference, on one "
                    "clock, as a picture and in honest numbers."),
                 owner));
    column->addWidget(makeStrong(tr("Cautions"), owner));
    for (const auto caution : report::cautions())
        column->addWidget(makeBody(fromCore(caution), owner));
    column->addWidget(makeStrong(tr("Licence"), owner));
    column->addWidget(
        makeBody(tr("GNU General Public License, version 3 or later; without any warranty. Built with Qt %1 "
                    "and QCustomPlot.")
                     .arg(QString::fromLatin1(qVersion())),
                 owner));
    column->addStretch(1);
}

}  // namespace beatwitness::app
