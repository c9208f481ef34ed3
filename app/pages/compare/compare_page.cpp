#include "app/pages/compare/compare_page.h"

#include <QButtonGroup>
#include <QClipboard>
#include <QComboBox>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QMenu>
#include <QScrollArea>
#include <QSplitter>
#include <QStackedWidget>
#include <QTableView>
#include <QToolButton>
#include <QVBoxLayout>
#include <set>

#include "app/pages/compare/compare_bar.h"
#include "app/pages/compare/compare_table_model.h"
#include "app/pages/compare/kept_comparisons.h"
#include "app/pages/compare/scene_column.h"
#include "core/agreement/metric.h"
#include "core/report/comparison_summary.h"
#include "widgets/background/progress_strip.h"
#include "widgets/figures/scene_view.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace library;
using namespace widgets;

namespace {

QString qt(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

/// The two that `MetricDifference` knows beside the metrics of an answer.
constexpr auto absoluteBias = "abs_bias_bpm";

}  // namespace

ComparePage::ComparePage(LibraryDocument& library, QWidget* window, QWidget* parent)
    : QWidget(parent),
      library_(library),
      answer_(new CompareAnswer(library, this)),
      kept_(new KeptComparisons(library, window)) {
    setObjectName(QStringLiteral("comparePage"));
    bar_ = new CompareBar(this);
    auto* keptButton = new QToolButton(this);
    keptButton->setObjectName(QStringLiteral("keptComparisons"));
    keptButton->setText(tr("Kept"));
    keptButton->setMenu(kept_->menu());
    keptButton->setPopupMode(QToolButton::InstantPopup);
    bar_->addButton(keptButton);
    pages_ = new QStackedWidget(this);
    for (auto* page : {makeSideBySide(), makeNumbers(), makeStanding(), makeOverTime()})
        pages_->addWidget(page);
    auto* content = new QWidget(this);
    auto* inner = new QVBoxLayout(content);
    inner->setContentsMargins(0, 0, 0, 0);
    inner->setSpacing(0);
    inner->addWidget(makeViewRow());
    inner->addWidget(pages_, 1);
    empty_ = makeBody({}, this);
    empty_->setObjectName(QStringLiteral("compareEmpty"));
    empty_->setAlignment(Qt::AlignHCenter | Qt::AlignTop);
    empty_->setContentsMargins(40, 60, 40, 40);
    contentOrWords_ = new QStackedWidget(this);
    contentOrWords_->addWidget(content);
    contentOrWords_->addWidget(empty_);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(new ProgressStrip(answer_->runner(), this));
    column->addWidget(bar_);
    column->addWidget(contentOrWords_, 1);
    connect(answer_, &CompareAnswer::changed, this, &ComparePage::follow);
    connect(bar_, &CompareBar::asked, answer_, &CompareAnswer::setAsk);
    connect(kept_, &KeptComparisons::chosen, answer_, &CompareAnswer::setAsk);
    follow();
}

QWidget* ComparePage::makeViewRow() {
    auto* strip = new QWidget(this);
    auto* row = new QHBoxLayout(strip);
    row->setContentsMargins(14, 0, 14, 6);
    row->setSpacing(2);
    views_ = new QButtonGroup(this);
    const QStringList names{tr("Side by side"), tr("Numbers"), tr("How it stands up"), tr("Over time")};
    for (int i = 0; i < names.size(); ++i) {
        auto* button = new QToolButton(strip);
        button->setText(names[i]);
        button->setCheckable(true);
        button->setChecked(i == 0);
        button->setFocusPolicy(Qt::StrongFocus);
        button->setMinimumHeight(26);
        // The one in sight stands out in both themes, as the clocks of a session do.
        button->setStyleSheet(QStringLiteral(
            "QToolButton { border: 1px solid palette(mid); padding: 3px 10px; background: palette(button); }"
            "QToolButton:checked { background: palette(highlight); color: palette(highlighted-text); }"
            "QToolButton:focus { border: 2px solid palette(text); }"));
        views_->addButton(button, i);
        row->addWidget(button);
    }
    state_ = makeCaption({}, strip);
    state_->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    row->addWidget(state_, 1);
    connect(views_, &QButtonGroup::idClicked, this, [this](int id) { showView(static_cast<View>(id)); });
    return strip;
}

QWidget* ComparePage::makeSideBySide() {
    splitter_ = new QSplitter(Qt::Horizontal, this);
    splitter_->setChildrenCollapsible(false);
    splitter_->setHandleWidth(6);
    middle_ = new SceneColumn(tr("Maps, and what each error is made of"), splitter_);
    maps_ = middle_->addPlace("comparedMaps");
    attribution_ = middle_->addPlace("comparedAttribution");
    side_ = new SceneColumn(tr("Errors, differences and their meaning"), splitter_);
    auto* box = new QuietBox(QPalette::Button, side_);
    words_ = makeBody({}, box);
    words_->setObjectName(QStringLiteral("comparedWords"));
    auto* column = new QVBoxLayout(box);
    column->setContentsMargins(14, 10, 14, 12);
    column->addWidget(makeStrong(tr("In plain words"), box));
    column->addWidget(words_);
    side_->addWidget(box);
    intervals_ = side_->addPlace("comparedIntervals");
    paired_ = side_->addPlace("comparedDifferences");
    splitter_->addWidget(middle_);
    splitter_->addWidget(side_);
    splitter_->setStretchFactor(0, 3);
    splitter_->setStretchFactor(1, 2);
    return splitter_;
}

QWidget* ComparePage::makeNumbers() {
    auto* page = new QWidget(this);
    metric_ = new QComboBox(page);
    metric_->setObjectName(QStringLiteral("comparedMetric"));
    metric_->setAccessibleName(tr("Metric"));
    metric_->setMinimumHeight(26);
    for (const auto& facts : agreement::metrics()) {
        const QString unit = facts.unit.empty() ? QString() : tr(", %1").arg(qt(facts.unit));
        metric_->addItem(qt(facts.name) + unit, qt(facts.key));
        if (facts.metric == agreement::Metric::Bias)
            metric_->addItem(tr("absolute bias, bpm"), QString::fromLatin1(absoluteBias));
    }
    metric_->setCurrentIndex(metric_->findData(QStringLiteral("mae_bpm")));
    model_ = new CompareTableModel(this);
    table_ = new QTableView(page);
    table_->setObjectName(QStringLiteral("comparedTable"));
    table_->setAccessibleName(tr("Comparison by activity"));
    table_->setModel(model_);
    table_->setShowGrid(false);
    table_->setFrameShape(QFrame::NoFrame);
    table_->setAlternatingRowColors(true);
    table_->setTabKeyNavigation(false);
    table_->setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    table_->verticalHeader()->hide();
    table_->verticalHeader()->setDefaultSectionSize(std::max(24, table_->fontMetrics().height() + 9));
    table_->horizontalHeader()->setHighlightSections(false);
    table_->horizontalHeader()->setStretchLastSection(true);
    table_->installEventFilter(this);
    definitions_ = makeBody({}, page);
    definitions_->setObjectName(QStringLiteral("comparedDefinitions"));
    definitions_->setTextFormat(Qt::RichText);
    auto* below = new QScrollArea(page);
    below->setFrameShape(QFrame::NoFrame);
    below->setWidgetResizable(true);
    below->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    below->setAccessibleName(tr("What the columns mean"));
    below->setWidget(definitions_);
    auto* top = new QHBoxLayout;
    top->addWidget(new QLabel(tr("Metric"), page));
    top->addWidget(metric_);
    top->addWidget(makeCaption(tr("Ctrl+C copies the selection"), page), 1);
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(14, 4, 14, 10);
    column->addLayout(top);
    column->addWidget(table_, 3);
    column->addWidget(below, 2);
    connect(metric_, &QComboBox::currentIndexChanged, this, [this] {
        model_->setMetric(metric_->currentData().toString().toStdString());
        describeMetric();
    });
    return page;
}

QWidget* ComparePage::makeStanding() {
    standing_ = new SceneColumn(tr("How the errors stand up"), this);
    standingWords_ = makeBody({}, standing_);
    standing_->addWidget(standingWords_);
    standingA_ = standing_->addPlace("standingA");
    standingB_ = standing_->addPlace("standingB");
    return standing_;
}

QWidget* ComparePage::makeOverTime() {
    dated_ = new SceneColumn(tr("Errors over time"), this);
    overTime_ = dated_->addPlace("comparedOverTime");
    return dated_;
}

void ComparePage::showProject(std::optional<ProjectId> project) {
    answer_->setProject(project);
    kept_->setProject(project);
}

void ComparePage::showView(View view) {
    views_->button(static_cast<int>(view))->setChecked(true);
    pages_->setCurrentIndex(static_cast<int>(view));
    answer_->setWantsStanding(view == View::Standing);
    follow();
    emit figureChanged();
}

ComparePage::View ComparePage::view() const {
    return static_cast<View>(pages_->currentIndex());
}

void ComparePage::tellEmpty(const QString& sentence) {
    empty_->setText(sentence);
    contentOrWords_->setCurrentWidget(empty_);
}

void ComparePage::follow() {
    const auto view = answer_->view();
    static const std::vector<evaluation::ComparedSide> none;
    bar_->showAsk(answer_->ask(), view ? view->sides : none);
    kept_->setAsk(answer_->ask());
    state_->setText(answer_->isBusy() && view ? tr("being worked out …") : QString());
    if (const auto& fault = answer_->fault())
        tellEmpty(QString::fromStdString(sentence(*fault)));
    else if (!view)
        tellEmpty(answer_->isBusy() ? tr("Comparing …")
                                    : tr("Choose a project with two devices to hold against each other."));
    else if (view->a.empty())
        tellEmpty(
            tr("There is one device alone, of one firmware and year: nothing to hold it against. Add "
               "sessions in which another device was worn too."));
    else
        contentOrWords_->setCurrentIndex(0);
    if (view && !view->a.empty() && view != shown_) showScenes(*view);
    if (view != shown_) {
        shown_ = view;
        model_->setView(view && !view->a.empty() ? view : nullptr);
        table_->resizeColumnsToContents();
        describeMetric();
    }
    const auto& scenes = answer_->standing();
    standing_->setScene(standingA_, scenes.empty() ? std::nullopt : std::optional{scenes.front()});
    standing_->setScene(standingB_, scenes.size() < 2 ? std::nullopt : std::optional{scenes[1]});
    standingWords_->setText(
        scenes.empty()
            ? tr("The same figure is tried under every clock, epoch and choice of reference faults, "
                 "and without each session …")
            : tr("The same figure under every clock, epoch and choice of reference faults, and "
                 "without each session. A verdict that hangs on one of them does not stand up."));
    emit figureChanged();
}

void ComparePage::showScenes(const report::ComparedView& view) {
    middle_->setScene(maps_, view.maps);
    middle_->setScene(attribution_, view.attribution);
    side_->setScene(intervals_, view.intervals);
    side_->setScene(paired_, view.paired);
    dated_->setScene(overTime_, view.overTime);
    QStringList sentences;
    for (const auto& sentence : view.words)
        sentences << qt(sentence);
    words_->setText(sentences.join(QLatin1Char(' ')));
}

void ComparePage::describeMetric() {
    QString html;
    const auto* facts = agreement::metricOfKey(model_->metric());
    if (facts != nullptr)
        html = tr("<p><b>%1</b>: %2 <i>%3</i></p>")
                   .arg(qt(facts->name).toHtmlEscaped(), qt(facts->formula).toHtmlEscaped(),
                        qt(facts->source).toHtmlEscaped());
    else
        html = tr(
            "<p><b>absolute bias</b>: the size of each session's mean error, whichever way it points.</p>");
    const auto columns = report::comparedColumns();
    for (int i = 0; i < model_->columnCount(); ++i)
        html += QStringLiteral("<p><b>%1</b>: %2</p>")
                    .arg(model_->headerData(i, Qt::Horizontal, Qt::DisplayRole).toString().toHtmlEscaped(),
                         qt(columns[static_cast<std::size_t>(i)].definition).toHtmlEscaped());
    definitions_->setText(html);
}

std::optional<report::FigureRequest> ComparePage::asFigure() const {
    const auto& ask = answer_->ask();
    if (!shown_ || shown_->a.empty()) return std::nullopt;
    using report::FigureKind;
    switch (view()) {
        case View::SideBySide:
            return report::figureOf(ask, FigureKind::SmallMaps);
        case View::Numbers:
            return report::figureOf(ask, FigureKind::Paired);
        case View::Standing:
            return report::figureOf(ask, FigureKind::Robustness);
        case View::OverTime:
            return report::figureOf(ask, FigureKind::OverTime);
    }
    return std::nullopt;
}

QString ComparePage::numbersAsText(bool selectedOnly) const {
    std::set<int> rows, columns;
    if (selectedOnly)
        for (const auto& index : table_->selectionModel()->selectedIndexes()) {
            rows.insert(index.row());
            columns.insert(index.column());
        }
    return model_->tabSeparated(QList<int>(rows.begin(), rows.end()),
                                QList<int>(columns.begin(), columns.end()));
}

QList<QWidget*> ComparePage::panes() const {
    QList<QWidget*> panes{bar_};
    if (contentOrWords_->currentIndex() != 0) return panes;
    panes << views_->button(static_cast<int>(view()));
    if (view() == View::SideBySide) panes << middle_ << side_;
    if (view() == View::Numbers) panes << table_;
    if (view() == View::Standing) panes << standing_;
    if (view() == View::OverTime) panes << dated_;
    return panes;
}

void ComparePage::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    answer_->setShown(true);
}

void ComparePage::hideEvent(QHideEvent* event) {
    answer_->setShown(false);
    QWidget::hideEvent(event);
}

bool ComparePage::eventFilter(QObject* watched, QEvent* event) {
    if (watched == table_ && event->type() == QEvent::KeyPress &&
        static_cast<QKeyEvent*>(event)->matches(QKeySequence::Copy)) {
        QGuiApplication::clipboard()->setText(numbersAsText(true));
        return true;
    }
    return QWidget::eventFilter(watched, event);
}

}  // namespace beatwitness::app
