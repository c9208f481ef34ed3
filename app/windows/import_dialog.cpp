#include "app/windows/import_dialog.h"

#include <QAction>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QMenu>
#include <QProgressBar>
#include <QPushButton>
#include <QScreen>
#include <QSplitter>
#include <QStackedWidget>
#include <QToolBar>
#include <QToolButton>
#include <QTreeView>
#include <QVBoxLayout>
#include <algorithm>

#include "app/windows/import_delegate.h"
#include "app/windows/import_details.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/plots/trace_strip.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

ImportDialog::ImportDialog(ImportRequest request, QWidget* parent)
    : QDialog(parent),
      request_(std::move(request)),
      model_(new ImportModel(this)),
      pages_(new QStackedWidget(this)) {
    setObjectName(QStringLiteral("importDialog"));
    setWindowTitle(tr("Import Recordings"));
    makeActions();
    pages_->addWidget(makeReadingPage());
    pages_->addWidget(makeBoardPage());
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Cancel, this);
    store_ = buttons->addButton(tr("Import"), QDialogButtonBox::AcceptRole);
    store_->setObjectName(QStringLiteral("storeButton"));
    store_->setEnabled(false);
    store_->setToolTip(tr("Store what stands above (Ctrl+Enter)"));
    store_->setAutoDefault(false);  // Enter belongs to the cell that is edited
    buttons->button(QDialogButtonBox::Cancel)->setAutoDefault(false);
    connect(buttons, &QDialogButtonBox::accepted, this, &QDialog::accept);
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    project_ = new QComboBox(this);
    project_->setObjectName(QStringLiteral("projectList"));
    project_->setEditable(true);
    project_->addItems(request_.projects);
    project_->setCurrentText(request_.project);
    project_->setMinimumContentsLength(24);
    auto* projectLabel = new QLabel(tr("&Project"), this);
    projectLabel->setBuddy(project_);
    complaint_ = makeBody({}, this);
    complaint_->setObjectName(QStringLiteral("complaint"));
    auto* foot = new QHBoxLayout;
    foot->addWidget(projectLabel);
    foot->addWidget(project_);
    foot->addWidget(complaint_, 1);
    foot->addWidget(buttons);
    const int margin = fontMetrics().height();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(margin, margin * 3 / 4, margin, margin * 3 / 4);
    column->addWidget(pages_, 1);
    column->addLayout(foot);
    connect(model_, &ImportModel::corrected, this, &ImportDialog::refresh);
    connect(model_, &ImportModel::modelAboutToBeReset, this, &ImportDialog::keepPlace);
    connect(model_, &ImportModel::modelReset, this, &ImportDialog::restorePlace);
    const QSize room = parent ? parent->size() : screen()->availableSize();
    resize(QSize(fontMetrics().averageCharWidth() * 190, fontMetrics().height() * 44)
               .boundedTo(room - QSize(margin * 2, margin * 2)));
    begin();
}

ImportDialog::~ImportDialog() {
    runner_.disconnect(this);
    runner_.cancel();
}

void ImportDialog::keyPressEvent(QKeyEvent* event) {
    if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) {
        if ((event->modifiers() & Qt::ControlModifier) && store_->isEnabled()) accept();
        return;
    }
    QDialog::keyPressEvent(event);
}

QWidget* ImportDialog::makeReadingPage() {
    auto* page = new QWidget(this);
    readingWords_ = makeHeading({}, page);
    readingWords_->setAlignment(Qt::AlignHCenter);
    progress_ = new QProgressBar(page);
    progress_->setObjectName(QStringLiteral("readingProgress"));
    progress_->setAccessibleName(tr("Progress of reading"));
    progress_->setMinimumWidth(fontMetrics().averageCharWidth() * 50);
    auto* column = new QVBoxLayout(page);
    column->addStretch(2);
    column->addWidget(readingWords_);
    column->addWidget(progress_, 0, Qt::AlignHCenter);
    column->addStretch(3);
    return page;
}

QAction* ImportDialog::addAction(const QString& text, const QKeySequence& keys, const char* name,
                                 void (ImportDialog::*run)()) {
    auto* action = new QAction(text, this);
    action->setObjectName(QString::fromLatin1(name));
    action->setShortcut(keys);
    action->setToolTip(
        tr("%1 (%2)").arg(QString(text).remove(QLatin1Char('&')), keys.toString(QKeySequence::NativeText)));
    connect(action, &QAction::triggered, this, run);
    QWidget::addAction(action);
    actions_ << action;
    return action;
}

void ImportDialog::makeActions() {
    new_ = addAction(tr("&New Session"), Qt::CTRL | Qt::Key_N, "newSession", &ImportDialog::moveToNew);
    move_ = addAction(tr("&Move to …"), Qt::CTRL | Qt::Key_M, "moveTo", &ImportDialog::openMoveMenu);
    merge_ =
        addAction(tr("&Join with Session Above"), Qt::CTRL | Qt::Key_J, "mergeUp", &ImportDialog::mergeUp);
    leave_ = addAction(tr("&Leave Out"), Qt::Key_Delete, "leaveOut", &ImportDialog::leaveOut);
    leave_->setShortcutContext(Qt::WidgetShortcut);
    attempt_ =
        addAction(tr("&Add Failed Attempt"), Qt::CTRL | Qt::Key_T, "addAttempt", &ImportDialog::addAttempt);
    failed_ =
        addAction(tr("Mark as &Failed"), Qt::CTRL | Qt::Key_F, "markFailed", &ImportDialog::toggleFailed);
    readAs_ = addAction(tr("&Read as …"), Qt::CTRL | Qt::Key_L, "readAs", &ImportDialog::readAs);
    undo_ = addAction(tr("&Undo"), QKeySequence::Undo, "undoCorrection", &ImportDialog::undoCorrection);
    redo_ = addAction(tr("&Redo"), QKeySequence::Redo, "redoCorrection", &ImportDialog::redoCorrection);
    moveMenu_ = new QMenu(this);
    moveMenu_->setObjectName(QStringLiteral("moveMenu"));
}

void ImportDialog::makeTree() {
    tree_ = new QTreeView(this);
    tree_->setObjectName(QStringLiteral("importTree"));
    tree_->setAccessibleName(tr("Sessions to import"));
    tree_->setModel(model_);
    tree_->setItemDelegate(new ImportDelegate(tree_));
    tree_->setSelectionMode(QAbstractItemView::ExtendedSelection);
    tree_->setSelectionBehavior(QAbstractItemView::SelectRows);
    tree_->setEditTriggers(QAbstractItemView::EditKeyPressed | QAbstractItemView::DoubleClicked |
                           QAbstractItemView::AnyKeyPressed);
    tree_->setAllColumnsShowFocus(false);
    tree_->setUniformRowHeights(true);
    tree_->setTabKeyNavigation(false);
    tree_->setContextMenuPolicy(Qt::ActionsContextMenu);
    tree_->addActions(actions_);
    const int letter = fontMetrics().averageCharWidth();
    const std::array<int, ImportModel::columns> widths{36, 20, 20, 8, 10, 13, 31, 10, 24};
    auto* header = tree_->header();
    header->setStretchLastSection(true);
    header->setMinimumSectionSize(letter * 6);
    for (int column = 0; column < ImportModel::columns; ++column)
        header->resizeSection(column, widths[static_cast<std::size_t>(column)] * letter);
    connect(tree_->selectionModel(), &QItemSelectionModel::currentChanged, this, &ImportDialog::showRow);
    connect(tree_->selectionModel(), &QItemSelectionModel::selectionChanged, this,
            &ImportDialog::refreshActions);
}

QWidget* ImportDialog::makeBoardPage() {
    auto* page = new QWidget(this);
    summary_ = makeHeading({}, page);
    summary_->setObjectName(QStringLiteral("importSummary"));
    makeTree();
    auto* bar = new QToolBar(page);
    bar->setToolButtonStyle(Qt::ToolButtonTextOnly);
    bar->setAccessibleName(tr("Corrections"));
    for (auto* action : {new_, move_, merge_, leave_})
        bar->addAction(action);
    bar->addSeparator();
    for (auto* action : {attempt_, failed_, readAs_})
        bar->addAction(action);
    bar->addSeparator();
    bar->addActions({undo_, redo_});
    strip_ = new TraceStrip(page);
    details_ = new ImportDetails(*model_, page);
    auto* below = new QWidget(page);
    auto* row = new QHBoxLayout(below);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(fontMetrics().height());
    row->addWidget(strip_, 3);
    row->addWidget(details_, 2);
    auto* split = new QSplitter(Qt::Vertical, page);
    split->addWidget(tree_);
    split->addWidget(below);
    split->setStretchFactor(0, 3);
    split->setStretchFactor(1, 1);
    split->setChildrenCollapsible(false);
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(summary_);
    column->addWidget(bar);
    column->addWidget(split, 1);
    return page;
}

void ImportDialog::begin() {
    readingWords_->setText(
        request_.files.size() == 1
            ? tr("Reading %1 …").arg(QString::fromStdString(request_.files[0].filename().string()))
            : tr("Reading %1 files …").arg(countText(request_.files.size())));
    progress_->setRange(0, 100);
    connect(&runner_, &TaskRunner::progressed, progress_,
            [this](double fraction) { progress_->setValue(static_cast<int>(fraction * 100)); });
    runner_.run(
        tr("Reading …"),
        [files = request_.files, library = request_.library.toStdString()](const RunControl& run) {
            return readImport(files, library, run);
        },
        [this](Result<ReadImport> read) { take(std::move(read)); });
}

void ImportDialog::take(Result<ReadImport> read) {
    reading_ = false;
    if (!read) {
        emit refused(read.fault());
        reject();
        return;
    }
    pages_->setCurrentIndex(1);
    model_->setImport(read->source, ImportBoard{read->plan});
    tree_->setCurrentIndex(model_->index(0, 0));
    tree_->setFocus();
    emit proposed();
}

void ImportDialog::keepPlace() {
    if (!place_) place_ = model_->placeOf(tree_->currentIndex());
}

/// Sessions, what has none and what could not be read are open; what was skipped is not.
void ImportDialog::restorePlace() {
    for (int row = 0; row < model_->rowCount(); ++row) {
        const auto top = model_->index(row, 0);
        tree_->setFirstColumnSpanned(row, {}, model_->groupOf(top) != ImportModel::Group::Session);
        tree_->setExpanded(top,
                           model_->groupOf(top) != ImportModel::Group::Skipped || model_->rowCount() == 1);
    }
    const auto place = std::exchange(place_, std::nullopt);
    auto index = place ? model_->indexOf(*place) : QModelIndex{};
    if (!index.isValid()) index = model_->index(0, 0);
    tree_->setCurrentIndex(index);
}

void ImportDialog::refresh() {
    summary_->setText(summary());
    const QString wrong = model_->board().complaint();
    const auto sessions = model_->board().toStore();
    const bool hasNothing = sessions.empty();
    complaint_->setText(!wrong.isEmpty() ? wrong : hasNothing ? tr("There is nothing to store.") : QString{});
    store_->setEnabled(!reading_ && wrong.isEmpty() && !hasNothing);
    store_->setText(sessions.size() == 1 ? tr("Import 1 session")
                                         : tr("Import %1 sessions").arg(sessions.size()));
    undo_->setEnabled(model_->canUndo());
    redo_->setEnabled(model_->canRedo());
    showRow();
}

QString ImportDialog::summary() const {
    const auto& source = *model_->source();
    std::size_t skipped = 0;
    for (const auto& verdict : source.verdicts)
        skipped += verdict.state != library::FileState::New && verdict.state != library::FileState::PartlyNew;
    QStringList parts;
    const auto files = source.files.size() + source.unread.size();
    const auto sessions = model_->board().toStore().size();
    parts << (sessions == 1
                  ? tr("1 session from %1").arg(files == 1 ? tr("1 file") : tr("%1 files").arg(files))
                  : tr("%1 sessions from %2")
                        .arg(sessions)
                        .arg(files == 1 ? tr("1 file") : tr("%1 files").arg(files)));
    if (!model_->board().unplaced().empty())
        parts << tr("%1 in no session").arg(model_->board().unplaced().size());
    if (skipped > 0) parts << tr("%1 skipped").arg(skipped);
    if (!source.unread.empty()) parts << tr("%1 could not be read").arg(source.unread.size());
    return parts.join(QStringLiteral(" · "));
}

QString ImportDialog::leftOver() const {
    const auto& source = *model_->source();
    std::size_t stored = 0, others = 0;
    for (const auto& verdict : source.verdicts) {
        stored += verdict.state == library::FileState::AlreadyStored;
        others += verdict.state == library::FileState::InLongerExport ||
                  verdict.state == library::FileState::OfferedTwice ||
                  verdict.state == library::FileState::NothingToTake;
    }
    QStringList sentences;
    if (stored > 0) sentences << tr("Skipped as already stored: %1.").arg(stored);
    if (others > 0) sentences << tr("Skipped as given twice, in a longer export, or empty: %1.").arg(others);
    if (!source.unread.empty()) sentences << tr("Could not be read: %1.").arg(source.unread.size());
    return sentences.join(QLatin1Char(' '));
}

std::vector<library::SessionDraft> ImportDialog::drafts() const {
    return library::draftsOf(model_->board().toStore(), model_->source()->files);
}

QString ImportDialog::project() const {
    return project_->currentText().trimmed();
}

}  // namespace beatwitness::app
