#include "app/pages/agreement_page.h"

#include <QClipboard>
#include <QComboBox>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QScrollBar>
#include <QSplitter>
#include <QTableView>
#include <algorithm>
#include <set>

#include "app/document/document.h"
#include "app/document/selection.h"
#include "app/document/session_words.h"
#include "app/pages/side_column.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/section.h"
#include "widgets/models/agreement_table_model.h"
#include "widgets/plots/agreement_map_view.h"
#include "widgets/plots/cursor_reading.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

AgreementPage::AgreementPage(Document& document, QWidget* parent) : QWidget(parent), document_(document) {
    splitter_ = new QSplitter(Qt::Horizontal, this);
    splitter_->setChildrenCollapsible(false);
    splitter_->setHandleWidth(6);
    splitter_->addWidget(makeMiddle());
    splitter_->addWidget(makeSide());
    splitter_->setStretchFactor(0, 1);
    splitter_->setStretchFactor(1, 0);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(splitter_);
    connect(&document_, &Document::analysisChanged, this, &AgreementPage::refreshSession);
    connect(&document_, &Document::clockViewChanged, this, &AgreementPage::refreshClock);
    connect(&document_, &Document::focusTestChanged, this, &AgreementPage::refreshClock);
    auto& selection = document_.selection();
    connect(map_, &AgreementMapView::boxSelected, &selection, &Selection::setBox);
    connect(&selection, &Selection::changed, this, &AgreementPage::refreshSelection);
}

QWidget* AgreementPage::makeMiddle() {
    auto* middle = new QuietBox(QPalette::Base, this);
    map_ = new AgreementMapView(middle);
    map_->setObjectName(QStringLiteral("agreementMap"));
    auto* column = new QVBoxLayout(middle);
    column->setContentsMargins(12, 8, 12, 8);
    column->addWidget(map_, 1);
    column->addWidget(makeControls(middle));
    return middle;
}

QWidget* AgreementPage::makeControls(QWidget* parent) {
    auto* controls = new QWidget(parent);
    auto* width = new QComboBox(controls);
    for (const int bpm : {1, 2, 5})
        width->addItem(tr("%1 bpm").arg(bpm), bpm);
    width->setAccessibleName(tr("Width of a cell of the map"));
    auto* scale = new QComboBox(controls);
    scale->addItem(tr("logarithmic"));
    scale->addItem(tr("linear"));
    scale->setAccessibleName(tr("How colour goes with the count"));
    auto* widthName = new QLabel(tr("Cells"), controls);
    auto* scaleName = new QLabel(tr("Colour"), controls);
    readout_ = makeCaption({}, controls);
    readout_->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    auto* row = new QHBoxLayout(controls);
    row->setContentsMargins(0, 0, 0, 0);
    for (auto* widget : std::initializer_list<QWidget*>{widthName, width, scaleName, scale}) {
        widget->setMinimumHeight(26);
        row->addWidget(widget);
    }
    row->addWidget(readout_, 1);
    connect(width, &QComboBox::activated, this,
            [this, width](int index) { map_->setCellWidth(width->itemData(index).toInt()); });
    connect(scale, &QComboBox::activated, this, [this](int index) { map_->setLogarithmic(index == 0); });
    connect(map_, &AgreementMapView::readoutChanged, readout_, &QLabel::setText);
    return controls;
}

QWidget* AgreementPage::makeSide() {
    side_ = new SideColumn(tr("Summary and numbers"), {makeWords(), makeTable()}, this);
    return side_;
}

QWidget* AgreementPage::makeWords() {
    auto* box = new QuietBox(QPalette::Button, this);
    words_ = makeBody({}, box);
    words_->setObjectName(QStringLiteral("plainWords"));
    auto* column = new QVBoxLayout(box);
    column->setContentsMargins(14, 10, 14, 12);
    column->addWidget(makeStrong(tr("In plain words"), box));
    column->addWidget(words_);
    return box;
}

QWidget* AgreementPage::makeTable() {
    auto* section = new Section(tr("Numbers"), this);
    section->setState(tr("Ctrl+C copies"));
    model_ = new AgreementTableModel(this);
    table_ = new QTableView(section);
    table_->setObjectName(QStringLiteral("agreementTable"));
    table_->setAccessibleName(tr("Agreement, as recorded and aligned"));
    table_->setModel(model_);
    table_->setShowGrid(false);
    // Figures under a rule, without boxes about the headings.
    table_->setStyleSheet(QStringLiteral(
        "QHeaderView, QHeaderView::section { background: palette(window); border: none; padding: 0 4px; }"
        "QTableCornerButton::section { background: palette(window); border: none; }"
        "QTableView { background: palette(window); }"));
    table_->setFrameShape(QFrame::NoFrame);
    table_->setCornerButtonEnabled(false);
    table_->setTabKeyNavigation(false);
    table_->setVerticalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    table_->horizontalHeader()->setSectionResizeMode(QHeaderView::Stretch);
    table_->horizontalHeader()->setSectionsClickable(false);
    table_->horizontalHeader()->setHighlightSections(false);
    table_->verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    table_->verticalHeader()->setDefaultSectionSize(std::max(24, table_->fontMetrics().height() + 7));
    table_->verticalHeader()->setHighlightSections(false);
    table_->installEventFilter(this);
    section->body()->addWidget(table_);
    return section;
}

bool AgreementPage::eventFilter(QObject* watched, QEvent* event) {
    if (watched == table_ && event->type() == QEvent::KeyPress &&
        static_cast<QKeyEvent*>(event)->matches(QKeySequence::Copy)) {
        QGuiApplication::clipboard()->setText(numbersAsText(true));
        return true;
    }
    return QWidget::eventFilter(watched, event);
}

QString AgreementPage::numbersAsText(bool selectedOnly) const {
    std::set<int> rows, columns;
    if (selectedOnly)
        for (const auto& index : table_->selectionModel()->selectedIndexes()) {
            rows.insert(index.row());
            columns.insert(index.column());
        }
    return model_->tabSeparated(QList<int>(rows.begin(), rows.end()),
                                QList<int>(columns.begin(), columns.end()));
}

void AgreementPage::refreshSession() {
    model_->setSession(document_.analysis());
    fitTable();
    if (document_.hasSession())
        refreshClock();
    else
        map_->clear();
}

void AgreementPage::refreshClock() {
    if (!document_.hasSession()) return;
    const auto front = static_cast<int>(document_.focusTest());
    const bool aligned = document_.showsAligned();
    map_->setPairs(document_.analysis(), front, aligned);
    refreshSelection();
    model_->setShown(front, aligned);
    table_->scrollTo(model_->index(0, model_->shownColumn()));
    words_->setText(plainWords(*document_.analysis(), front, aligned).join(QLatin1Char(' ')));
}

void AgreementPage::refreshSelection() {
    const auto& selection = document_.selection();
    map_->setArea(selection.box(), selection.band());
    map_->setLit(selection.isActive() ? selection.selected().pairs : nullptr);
}

void AgreementPage::fitTable() {
    // Two columns share the width; those of several tests keep their headings whole and scroll sideways.
    const bool several = model_->columnCount() > 2;
    table_->horizontalHeader()->setSectionResizeMode(several ? QHeaderView::ResizeToContents
                                                             : QHeaderView::Stretch);
    const int rows = model_->rowCount() * table_->verticalHeader()->defaultSectionSize();
    const int bar = several ? table_->horizontalScrollBar()->sizeHint().height() : 0;
    table_->setFixedHeight(rows + table_->horizontalHeader()->sizeHint().height() + bar + 4);
}

void AgreementPage::setCursor(std::optional<double> seconds) {
    std::optional<std::pair<double, double>> pair;
    if (seconds && document_.hasSession()) {
        const auto reading = readingAt(*document_.analysis(), static_cast<int>(document_.focusTest()),
                                       document_.showsAligned(), *seconds);
        if (reading.error) pair = {reading.reference->value, reading.test->value};
    }
    map_->setCursorPair(pair);
}

QList<QWidget*> AgreementPage::panes() const {
    return {map_, table_};
}

}  // namespace beatwitness::app
