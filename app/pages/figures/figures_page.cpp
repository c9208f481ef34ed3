#include "app/pages/figures/figures_page.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QListView>
#include <QSplitter>
#include <QStackedWidget>
#include <QToolButton>
#include <QVBoxLayout>
#include <algorithm>

#include "app/pages/figures/figure_actions.h"
#include "app/pages/figures/figure_list.h"
#include "app/pages/figures/figure_look.h"
#include "app/pages/figures/figure_properties.h"
#include "app/pages/figures/figure_words.h"
#include "widgets/background/progress_strip.h"
#include "widgets/figures/figure_preview.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace library;
using namespace widgets;

namespace {

QToolButton* buttonFor(QAction* action, QWidget* parent) {
    auto* button = new QToolButton(parent);
    button->setDefaultAction(action);
    button->setToolButtonStyle(Qt::ToolButtonTextOnly);
    button->setFocusPolicy(Qt::StrongFocus);
    button->setMinimumHeight(26);
    return button;
}

QString ownWords(const std::string& made, const std::string& said) {
    return said.empty() ? QString::fromStdString(made) : QString();
}

}  // namespace

FiguresPage::FiguresPage(LibraryDocument& library, QWidget* window, QWidget* parent)
    : QWidget(parent),
      library_(library),
      maker_(new FigureMaker(library, this)),
      model_(new FigureListModel(library, *maker_, this)),
      list_(new QListView(this)),
      commands_(new FigureCommands(window, list_)),
      properties_(new FigureProperties(library, this)) {
    setObjectName(QStringLiteral("figuresPage"));
    actions_ = new FigureActions(library, *this, this);
    splitter_ = new QSplitter(Qt::Horizontal, this);
    splitter_->addWidget(makeSideList());
    splitter_->addWidget(makeMiddle());
    splitter_->addWidget(properties_);
    splitter_->setStretchFactor(1, 1);
    splitter_->setCollapsible(1, false);
    const int letter = fontMetrics().averageCharWidth();
    splitter_->setSizes({FigureMaker::thumbnailSize.width() + letter * 18, letter * 90, letter * 40});
    auto* row = new QVBoxLayout(this);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(0);
    row->addWidget(new ProgressStrip(actions_->exports().runner(), this));
    row->addWidget(splitter_, 1);
    connectCommands();
    follow();
}

QWidget* FiguresPage::makeSideList() {
    auto* side = new QWidget(this);
    auto* column = new QVBoxLayout(side);
    column->setContentsMargins(12, 10, 8, 10);
    column->setSpacing(6);
    auto* make = new QToolButton(side);
    make->setText(tr("New figure"));
    make->setMenu(commands_->newMenu());
    make->setPopupMode(QToolButton::InstantPopup);
    make->setFocusPolicy(Qt::StrongFocus);
    make->setMinimumHeight(26);
    auto* top = new QHBoxLayout;
    top->addWidget(make);
    top->addStretch(1);
    top->addWidget(buttonFor(commands_->exportOne, side));
    top->addWidget(buttonFor(commands_->exportAll, side));
    column->addLayout(top);
    list_->setModel(model_);
    list_->setItemDelegate(new FigureDelegate(list_));
    list_->setAccessibleName(tr("Figures"));
    list_->setFrameShape(QFrame::NoFrame);
    list_->setEditTriggers(QAbstractItemView::EditKeyPressed | QAbstractItemView::DoubleClicked);
    list_->setUniformItemSizes(true);
    list_->setVerticalScrollMode(QAbstractItemView::ScrollPerPixel);
    list_->setContextMenuPolicy(Qt::CustomContextMenu);
    emptyWords_ = makeBody({}, side);
    emptyWords_->setAlignment(Qt::AlignTop | Qt::AlignLeft);
    emptyWords_->setContentsMargins(4, 8, 4, 8);
    listOrWords_ = new QStackedWidget(side);
    listOrWords_->addWidget(list_);
    listOrWords_->addWidget(emptyWords_);
    column->addWidget(listOrWords_, 1);
    return side;
}

QWidget* FiguresPage::makeMiddle() {
    auto* middle = new QWidget(this);
    auto* column = new QVBoxLayout(middle);
    column->setContentsMargins(8, 10, 8, 8);
    column->setSpacing(6);
    preview_ = new FigurePreview(middle);
    facts_ = makeCaption({}, middle);
    auto* bar = new QHBoxLayout;
    for (auto* action : {commands_->fitView, commands_->trueSize, commands_->margins})
        bar->addWidget(buttonFor(action, middle));
    bar->addWidget(facts_, 1);
    bar->addWidget(buttonFor(commands_->exportFilm, middle));
    column->addLayout(bar);
    column->addWidget(preview_, 1);
    return middle;
}

void FiguresPage::connectCommands() {
    connect(commands_->fitView, &QAction::triggered, this,
            [this] { preview_->setZoom(FigurePreview::Zoom::Fit); });
    connect(commands_->trueSize, &QAction::triggered, this,
            [this] { preview_->setZoom(FigurePreview::Zoom::TrueSize); });
    connect(commands_->margins, &QAction::toggled, preview_, &FigurePreview::setMargins);
    connect(list_, &QListView::customContextMenuRequested, this, [this](const QPoint& at) {
        QMenu menu(list_);
        commands_->fillContextMenu(menu);
        menu.exec(list_->viewport()->mapToGlobal(at));
    });
    connect(list_->selectionModel(), &QItemSelectionModel::currentChanged, this,
            [this](const QModelIndex& now) {
                if (const auto id = model_->idAt(now)) {
                    current_ = id;
                    currentRow_ = now.row();
                }
                showCurrent();
            });
    connect(model_, &QAbstractItemModel::modelReset, this, &FiguresPage::keepCurrent);
    connect(maker_, &FigureMaker::made, this, [this](FigureId figure) {
        if (figure == current_) showCurrent();
    });
    connect(&library_, &LibraryDocument::changed, this, &FiguresPage::follow);
    for (auto signal : {&LibraryDocument::opened, &LibraryDocument::closed})
        connect(&library_, signal, this, &FiguresPage::follow);
    connect(&library_, &LibraryDocument::storingChanged, this, &FiguresPage::refreshState);
}

void FiguresPage::showProject(std::optional<ProjectId> project) {
    if (project == model_->project()) return;
    current_.reset();
    currentRow_ = 0;
    model_->setProject(project);
    follow();
}

std::optional<ProjectId> FiguresPage::project() const {
    return model_->project();
}

std::optional<FigureId> FiguresPage::current() const {
    return current_;
}

void FiguresPage::setCurrent(FigureId figure) {
    if (const auto index = model_->indexOf(figure); index.isValid()) list_->setCurrentIndex(index);
}

QList<QWidget*> FiguresPage::panes() const {
    return {list_, preview_, properties_};
}

void FiguresPage::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    maker_->setPixelRatio(devicePixelRatioF());
    // Marks and decisions change figures without a word of the library.
    maker_->distrust();
    wantFigures();
}

/// After a reset the figure at hand is found again; where it is gone, its neighbour.
void FiguresPage::keepCurrent() {
    auto index = current_ ? model_->indexOf(*current_) : QModelIndex();
    if (!index.isValid() && model_->rowCount() > 0)
        index = model_->index(std::clamp(currentRow_, 0, model_->rowCount() - 1));
    current_ = model_->idAt(index);
    list_->setCurrentIndex(index);
    follow();
}

void FiguresPage::wantFigures() {
    if (!isVisible()) return;
    std::vector<FigureId> wanted;
    if (current_) wanted.push_back(*current_);
    for (const auto figure : model_->ids())
        if (figure != current_) wanted.push_back(figure);
    maker_->want(std::move(wanted));
}

void FiguresPage::follow() {
    refreshState();
    wantFigures();
    showCurrent();
}

void FiguresPage::refreshState() {
    const bool some = model_->rowCount() > 0;
    listOrWords_->setCurrentIndex(some ? 0 : 1);
    emptyWords_->setText(
        !library_.isOpen() ? tr("Figures belong to a library. Open one, or the sample library, "
                                "from the File menu.")
                           : tr("There is no figure yet. Make one with New figure, or go to "
                                "another page and add what it shows (%1).")
                                 .arg(commands_->addFromView->shortcut().toString(QKeySequence::NativeText)));
    actions_->refresh();
    emit currentChanged();
}

void FiguresPage::showCurrent() {
    properties_->showFigure(current_);
    actions_->refresh();
    const auto* is = current_ && library_.contents() ? library_.contents()->figure(*current_) : nullptr;
    const auto* made = is ? maker_->of(*current_) : nullptr;
    facts_->clear();
    if (!is) return preview_->showWords(library_.isOpen() ? tr("No figure is chosen.") : QString());
    if (!made) return preview_->showWords(tr("It is being drawn …"));
    if (made->fault) return preview_->showWords(QString::fromStdString(sentence(*made->fault)));
    const auto& scene = made->figure->scene;
    const auto size = sizeOf(is->look, scene);
    if (!size) return preview_->showWords(QString::fromStdString(sentence(size.fault())));
    const QSize pixels = size->pixels();
    facts_->setText(tr("%1 × %2 px").arg(pixels.width()).arg(pixels.height()));
    properties_->setOwnWords(ownWords(scene.title, made->from.texts.title),
                             ownWords(scene.subtitle, made->from.texts.subtitle),
                             ownWords(scene.caption, made->from.texts.caption));
    preview_->showFigure({made->figure, &scene}, *size, styleOf(is->look));
    wantFigures();
}

}  // namespace beatwitness::app
