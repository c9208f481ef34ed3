#include "app/pages/flags_panel.h"

#include <QActionGroup>
#include <QLabel>
#include <QListView>
#include <QMenu>
#include <QToolButton>
#include <QVBoxLayout>
#include <algorithm>

#include "app/document/document.h"
#include "app/document/reviewing.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/models/flag_delegate.h"
#include "widgets/models/flag_list_model.h"

namespace beatwitness::app {

using namespace widgets;

namespace {
constexpr int fewestRows = 5;  ///< in sight, where there are so many
}

FlagsPanel::FlagsPanel(Document& document, QWidget* parent)
    : Section(tr("Flags"), parent),
      document_(document),
      model_(new FlagListModel(this)),
      list_(new QListView(this)),
      none_(makeCaption(tr("No flag on either trace."), this)),
      summary_(makeCaption({}, this)),
      unmatched_(makeCaption({}, this)),
      filter_(new QToolButton(this)) {
    list_->setObjectName(QStringLiteral("flagList"));
    list_->setAccessibleName(tr("Flags"));
    list_->setModel(model_);
    list_->setItemDelegate(new FlagDelegate(list_));
    list_->setFrameShape(QFrame::NoFrame);
    list_->viewport()->setAutoFillBackground(false);
    list_->setMouseTracking(true);
    list_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    list_->setTabKeyNavigation(false);
    list_->setContextMenuPolicy(Qt::CustomContextMenu);
    summary_->setObjectName(QStringLiteral("reviewSummary"));
    unmatched_->setObjectName(QStringLiteral("unmatchedDecisions"));
    makeFilter();
    auto* head = new QHBoxLayout;
    head->addWidget(summary_, 1);
    head->addWidget(filter_, 0, Qt::AlignTop);
    body()->addLayout(head);
    body()->addWidget(none_);
    body()->addWidget(list_);
    body()->addWidget(unmatched_);
    connect(list_, &QListView::clicked, this, [this](const QModelIndex& index) { visit(index.row()); });
    connect(list_, &QListView::activated, this, [this](const QModelIndex& index) { visit(index.row()); });
    connect(list_, &QListView::customContextMenuRequested, this, [this](const QPoint& at) {
        if (menu_) menu_->popup(list_->viewport()->mapToGlobal(at));
    });
    connect(list_->selectionModel(), &QItemSelectionModel::currentChanged, this,
            [this](const QModelIndex& index) {
                if (const auto* flag = model_->flag(index.row())) {
                    last_ = *flag;
                    lastRow_ = index.row();
                }
                emit flagAtHand(model_->flag(index.row()), index.row(), model_->rowCount());
            });
    connect(&document_, &Document::analysisChanged, this, &FlagsPanel::refresh);
    connect(&document_, &Document::recordingsChanged, this, [this] { last_.reset(); });
    connect(&document_, &Document::focusTestChanged, this, [this] {
        last_.reset();
        refresh();
    });
    connect(&document_.reviewing(), &Reviewing::changed, this, &FlagsPanel::summarise);
}

void FlagsPanel::makeFilter() {
    filter_->setObjectName(QStringLiteral("flagFilter"));
    filter_->setText(tr("Filter and sort"));
    filter_->setPopupMode(QToolButton::InstantPopup);
    filter_->setToolTip(tr("Which flags are listed and stepped through, and in which order"));
    auto* menu = new QMenu(filter_);
    QStringList kinds{tr("All kinds")};
    for (const auto kind : flags::allFlagKinds)
        kinds << flagName(kind);
    addChoices(*menu, tr("Kind"), kinds, "kind");
    addChoices(*menu, tr("Trace"), {tr("Device and reference"), tr("Device"), tr("Reference")}, "trace");
    addChoices(*menu, tr("Decided"), {tr("Decided or not"), tr("Not decided"), tr("Decided")}, "decided");
    addChoices(*menu, tr("Sort by"), {tr("Time"), tr("Kind"), tr("Length"), tr("Least sure first")}, "order");
    filter_->setMenu(menu);
}

void FlagsPanel::addChoices(QMenu& menu, const QString& title, const QStringList& words, const char* name) {
    auto* submenu = menu.addMenu(title);
    auto* group = new QActionGroup(this);
    group->setObjectName(QString::fromLatin1(name));
    for (int i = 0; i < words.size(); ++i) {
        auto* one = submenu->addAction(words[i]);
        one->setCheckable(true);
        one->setData(i);
        one->setChecked(i == 0);
        group->addAction(one);
    }
    connect(group, &QActionGroup::triggered, this, &FlagsPanel::refilter);
}

int FlagsPanel::choice(const char* name) const {
    return findChild<QActionGroup*>(QString::fromLatin1(name))->checkedAction()->data().toInt();
}

void FlagsPanel::refilter() {
    FlagFilter filter;
    if (const int kind = choice("kind"); kind > 0)
        filter.kind = flags::allFlagKinds[static_cast<std::size_t>(kind - 1)];
    if (const int trace = choice("trace"); trace > 0)
        filter.on = trace == 1 ? flags::FlaggedTrace::Test : flags::FlaggedTrace::Reference;
    filter.decided = static_cast<FlagFilter::Decided>(choice("decided"));
    model_->setFilter(filter);
    model_->setOrder(static_cast<FlagOrder>(choice("order")));
    filter_->setText(filter == FlagFilter{} ? tr("Filter and sort") : tr("Filtered"));
    refresh();
}

int FlagsPanel::rowOf(const flags::Flag& before, int at) const {
    for (int row = 0; row < model_->rowCount(); ++row) {
        const auto& flag = *model_->flag(row);
        if (flag.on != before.on) continue;
        const bool same = before.decision != 0 && flag.decision == before.decision;
        if (same || (flag.span.begin == before.span.begin && flag.span.end == before.span.end)) return row;
    }
    return std::min(at, model_->rowCount() - 1);
}

void FlagsPanel::selectQuietly(int row) {
    if (row >= 0 && row < model_->rowCount()) list_->setCurrentIndex(model_->index(row));
}

void FlagsPanel::setChangedThresholds(int count) {
    changedThresholds_ = count;
    summarise();
}

QString FlagsPanel::unmatchedText() const {
    if (!document_.hasSession()) return {};
    QStringList words;
    const auto tell = [&](const std::vector<flags::FlagDecision>& decisions, const flags::TraceClock& clock) {
        for (const auto& decision : decisions) {
            const auto span = clock.toSession(decision.span);
            words << tr("%1, %2 to %3 (%4)")
                         .arg(flagName(decision.kind), sessionTimeText(secondsOf(span.begin)),
                              sessionTimeText(secondsOf(span.end)), verdictText(decision.verdict));
        }
    };
    const auto clocks = analysis::clocksOf(*document_.analysis(), document_.focusTest());
    tell(document_.test().unmatched, clocks.test);
    tell(document_.analysis()->referenceUnmatched, clocks.reference);
    if (words.isEmpty()) return {};
    return tr("%n decision(s) find no flag any more:", nullptr, static_cast<int>(words.size())) +
           QLatin1Char('\n') + words.join(QLatin1Char('\n'));
}

void FlagsPanel::summarise() {
    QStringList words;
    if (model_->total() > 0) words << tr("%1 of %2 decided").arg(model_->decided()).arg(model_->total());
    if (document_.hasSession()) {
        const int byHand = document_.test().flagsByHand + document_.analysis()->referenceFlagsByHand;
        if (byHand > 0) words << tr("%n changed by hand", nullptr, byHand);
    }
    if (model_->rowCount() < model_->total())
        words << tr("%n hidden by the filter", nullptr, model_->total() - model_->rowCount());
    auto& reviewing = document_.reviewing();
    if (const auto pass = reviewing.openPass())
        words << tr("pass %1 under way, earlier decisions out of sight").arg(*pass);
    if (document_.isBlind()) words << tr("device names hidden");
    if (const auto kappa = reviewing.kappa())
        words << tr("agreement with the pass before: kappa %1").arg(numberText(*kappa, 2));
    if (changedThresholds_ > 0) words << tr("%n threshold(s) changed", nullptr, changedThresholds_);
    summary_->setText(words.join(QStringLiteral(" · ")));
    const QString unmatched = unmatchedText();
    unmatched_->setText(unmatched);
    unmatched_->setVisible(!unmatched.isEmpty());
}

int FlagsPanel::flagCount() const {
    return model_->rowCount();
}

void FlagsPanel::pick(const flags::Flag* flag) {
    for (int row = 0; row < model_->rowCount(); ++row)
        if (model_->flag(row) == flag) list_->setCurrentIndex(model_->index(row));
}

const flags::Flag* FlagsPanel::atHand() const {
    return model_->flag(list_->currentIndex().row());
}

void FlagsPanel::refresh() {
    const auto before = last_;
    const int at = lastRow_;
    model_->setSession(document_.analysis(), static_cast<int>(document_.focusTest()));
    const int count = model_->rowCount();
    list_->setVisible(count > 0);
    none_->setVisible(count == 0);
    none_->setText(model_->total() > 0 ? tr("The filter hides every flag.") : tr("No flag on either trace."));
    filter_->setVisible(model_->total() > 0);
    setState(model_->total() > 0 ? QString::number(model_->total()) : QString());
    fitRows();
    summarise();
    emit flagAtHand(nullptr, -1, count);
    if (before) selectQuietly(rowOf(*before, at));
}

void FlagsPanel::setRoom(int height) {
    room_ = height;
    fitRows();
}

void FlagsPanel::fitRows() {
    const int count = model_->rowCount();
    if (count == 0) return;
    const int row = list_->sizeHintForRow(0);
    list_->setFixedHeight(row * std::min(count, std::max(fewestRows, room_ / row)) + 2);
}

void FlagsPanel::step(int by) {
    const int count = model_->rowCount();
    if (count == 0) return;
    const int current = list_->currentIndex().row();
    visit(current < 0 ? (by > 0 ? 0 : count - 1) : std::clamp(current + by, 0, count - 1));
}

void FlagsPanel::visit(int row) {
    list_->setCurrentIndex(model_->index(row));
    if (const auto* flag = model_->flag(row)) emit goTo(*flag);
}

}  // namespace beatwitness::app
