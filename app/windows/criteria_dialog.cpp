#include "app/windows/criteria_dialog.h"

#include <QClipboard>
#include <QComboBox>
#include <QDateTime>
#include <QDialogButtonBox>
#include <QDoubleSpinBox>
#include <QGridLayout>
#include <QGuiApplication>
#include <QHeaderView>
#include <QLabel>
#include <QLocale>
#include <QPrintDialog>
#include <QPrinter>
#include <QPushButton>
#include <QTabWidget>
#include <QTextBrowser>
#include <QTreeWidget>
#include <QVBoxLayout>

#include "core/report/figures/comparison_scenes.h"
#include "core/report/plan_card_text.h"
#include "widgets/figures/scene_view.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace library;
using agreement::Criterion;

namespace {

using Row = RowOf<CriterionId, CriterionParticulars>;

QString qt(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

QString dayText(Micros instant) {
    return QLocale().toString(QDateTime::fromMSecsSinceEpoch(instant.count() / 1000), QLocale::ShortFormat);
}

QString placeText(const Criterion& criterion) {
    const QString device =
        criterion.device.empty() ? CriteriaDialog::tr("every device") : qt(criterion.device);
    const QString activity =
        criterion.activity.empty() ? CriteriaDialog::tr("every activity") : qt(criterion.activity);
    return CriteriaDialog::tr("%1, %2").arg(device, activity);
}

QString limitText(const Criterion& criterion) {
    const auto& facts = agreement::factsOf(criterion.metric);
    return QStringLiteral("%1 %2 %3 %4")
        .arg(qt(facts.name), qt(agreement::senseName(criterion.sense)), QLocale().toString(criterion.limit),
             qt(facts.unit))
        .trimmed();
}

QTreeWidget* makeTree(const QStringList& headings, const QString& name, const char* objectName,
                      QWidget* parent) {
    auto* tree = new QTreeWidget(parent);
    tree->setObjectName(QString::fromLatin1(objectName));
    tree->setAccessibleName(name);
    tree->setHeaderLabels(headings);
    tree->setRootIsDecorated(false);
    tree->setAllColumnsShowFocus(true);
    return tree;
}

QDoubleSpinBox* makeNumber(double lowest, double highest, double value, const char* objectName,
                           QWidget* parent) {
    auto* box = new QDoubleSpinBox(parent);
    box->setObjectName(QString::fromLatin1(objectName));
    box->setRange(lowest, highest);
    box->setDecimals(2);
    box->setValue(value);
    box->setMinimumHeight(26);
    return box;
}

}  // namespace

CriteriaDialog::CriteriaDialog(LibraryDocument& library, ProjectId project, QWidget* parent)
    : QDialog(parent), library_(library), project_(project), tabs_(new QTabWidget(this)) {
    setObjectName(QStringLiteral("criteriaDialog"));
    setAttribute(Qt::WA_DeleteOnClose);
    const auto* is = library_.contents() ? library_.contents()->project(project) : nullptr;
    setWindowTitle(is ? tr("Plan and Criteria of %1").arg(qt(is->label)) : tr("Plan and Criteria"));
    resize(fontMetrics().averageCharWidth() * 118, fontMetrics().height() * 34);
    tabs_->addTab(makeCriteria(), tr("&Criteria"));
    tabs_->addTab(makeNeeded(), tr("&Sessions Needed"));
    tabs_->addTab(makeCard(), tr("&Plan Card"));
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, this);
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    auto* column = new QVBoxLayout(this);
    column->addWidget(tabs_);
    column->addWidget(buttons);
    connectAll();
    enter({agreement::Metric::Mape, 5.0, agreement::Sense::AtMost, {}, {}, 0.95, {}});
    fillLists();
    fillCriteria();
    readCard();
}

QWidget* CriteriaDialog::makeCriteria() {
    auto* page = new QWidget(this);
    list_ = makeTree({tr("Required"), tr("Of"), tr("Sure"), tr("Set"), tr("Data was there"), tr("Withdrawn")},
                     tr("Criteria"), "criteriaList", page);
    list_->header()->setSectionResizeMode(1, QHeaderView::Stretch);
    list_->header()->setStretchLastSection(false);
    state_ = widgets::makeCaption({}, page);
    auto* column = new QVBoxLayout(page);
    column->addWidget(widgets::makeBody(tr("Set what is required before you look at the results: whether "
                                           "data was there already is written down "
                                           "with each criterion. What was required is never changed: another "
                                           "one takes its place, and what is "
                                           "withdrawn stays in the list."),
                                        page));
    column->addWidget(list_, 1);
    column->addWidget(makeFields());
    column->addWidget(state_);
    return page;
}

QWidget* CriteriaDialog::makeFields() {
    auto* fields = new QWidget(this);
    const auto combo = [&](const char* name) {
        auto* box = new QComboBox(fields);
        box->setObjectName(QString::fromLatin1(name));
        box->setMinimumHeight(26);
        return box;
    };
    metric_ = combo("criterionMetric");
    for (const auto& facts : agreement::metrics())
        metric_->addItem(
            facts.unit.empty() ? qt(facts.name) : tr("%1, %2").arg(qt(facts.name), qt(facts.unit)),
            qt(facts.key));
    sense_ = combo("criterionSense");
    for (const auto sense : {agreement::Sense::AtMost, agreement::Sense::AtLeast, agreement::Sense::Within})
        sense_->addItem(qt(agreement::senseName(sense)), static_cast<int>(sense));
    limit_ = makeNumber(0.0, 1000.0, 5.0, "criterionLimit", fields);
    device_ = combo("criterionDevice");
    activity_ = combo("criterionActivity");
    confidence_ = makeNumber(50.5, 99.9, 95.0, "criterionConfidence", fields);
    confidence_->setDecimals(1);
    confidence_->setSuffix(tr(" %"));
    set_ = new QPushButton(tr("Se&t"), fields);
    set_->setObjectName(QStringLiteral("setCriterion"));
    replace_ = new QPushButton(tr("Set in &Place of Selected"), fields);
    withdraw_ = new QPushButton(tr("&Withdraw Selected"), fields);
    auto* grid = new QGridLayout(fields);
    grid->setContentsMargins(0, 0, 0, 0);
    const std::vector<std::pair<QString, QWidget*>> named{
        {tr("&Metric"), metric_}, {tr("Sen&se"), sense_},       {tr("&Limit"), limit_},
        {tr("&Device"), device_}, {tr("&Activity"), activity_}, {tr("C&onfidence"), confidence_}};
    for (std::size_t i = 0; i < named.size(); ++i) {
        auto* label = new QLabel(named[i].first, fields);
        label->setBuddy(named[i].second);
        named[i].second->setAccessibleName(QString(named[i].first).remove(QLatin1Char('&')));
        grid->addWidget(label, 0, static_cast<int>(i));
        grid->addWidget(named[i].second, 1, static_cast<int>(i));
        grid->setColumnStretch(static_cast<int>(i), 1);
    }
    auto* buttons = new QHBoxLayout;
    buttons->addStretch(1);
    for (auto* button : {set_, replace_, withdraw_}) {
        button->setAutoDefault(false);
        buttons->addWidget(button);
    }
    grid->addLayout(buttons, 2, 0, 1, static_cast<int>(named.size()));
    return fields;
}

QWidget* CriteriaDialog::makeNeeded() {
    auto* page = new QWidget(this);
    planned_ = new QComboBox(page);
    planned_->setObjectName(QStringLiteral("plannedCriterion"));
    planned_->setMinimumHeight(26);
    expected_ = makeNumber(-1000.0, 1000.0, 4.0, "plannedExpected", page);
    spread_ = makeNumber(0.01, 1000.0, 2.0, "plannedSpread", page);
    neededWords_ = widgets::makeStrong({}, page);
    neededWords_->setObjectName(QStringLiteral("neededWords"));
    curve_ = new widgets::SceneView(page);
    table_ =
        makeTree({tr("Sessions"), tr("Interval"), tr("Verdict")}, tr("Sessions needed"), "neededTable", page);
    auto* top = new QGridLayout;
    const std::vector<std::pair<QString, QWidget*>> named{{tr("Cr&iterion in force"), planned_},
                                                          {tr("&Expected"), expected_},
                                                          {tr("Sp&read between sessions"), spread_}};
    for (int i = 0; i < 3; ++i) {
        auto* label = new QLabel(named[static_cast<std::size_t>(i)].first, page);
        auto* field = named[static_cast<std::size_t>(i)].second;
        label->setBuddy(field);
        field->setAccessibleName(QString(label->text()).remove(QLatin1Char('&')));
        top->addWidget(label, 0, i);
        top->addWidget(field, 1, i);
    }
    top->setColumnStretch(0, 1);
    auto* row = new QHBoxLayout;
    row->addWidget(curve_, 3);
    row->addWidget(table_, 2);
    auto* column = new QVBoxLayout(page);
    column->addWidget(widgets::makeBody(
        tr("Before the first recording the spread between sessions is an assumption: take it from a similar "
           "study, "
           "and try a larger one. The interval is the one that recorded sessions will get."),
        page));
    column->addLayout(top);
    column->addWidget(neededWords_);
    column->addLayout(row, 1);
    return page;
}

QWidget* CriteriaDialog::makeCard() {
    auto* page = new QWidget(this);
    page_ = new QTextBrowser(page);
    page_->setObjectName(QStringLiteral("planCard"));
    page_->setAccessibleName(tr("Plan card"));
    auto* copy = new QPushButton(tr("&Copy"), page);
    auto* print = new QPushButton(tr("P&rint …"), page);
    for (auto* button : {copy, print})
        button->setAutoDefault(false);
    auto* row = new QHBoxLayout;
    row->addStretch(1);
    row->addWidget(copy);
    row->addWidget(print);
    auto* column = new QVBoxLayout(page);
    column->addWidget(page_, 1);
    column->addLayout(row);
    connect(copy, &QPushButton::clicked, this, &CriteriaDialog::copyCard);
    connect(print, &QPushButton::clicked, this, &CriteriaDialog::printCard);
    return page;
}

void CriteriaDialog::connectAll() {
    connect(metric_, &QComboBox::currentIndexChanged, this, [this] {
        const auto* facts = agreement::metricOfKey(metric_->currentData().toString().toStdString());
        sense_->setCurrentIndex(sense_->findData(static_cast<int>(agreement::usualSense(*facts))));
        limit_->setSuffix(facts->unit.empty() ? QString() : QLatin1Char(' ') + qt(facts->unit));
    });
    connect(set_, &QPushButton::clicked, this, &CriteriaDialog::setEntered);
    connect(replace_, &QPushButton::clicked, this, &CriteriaDialog::replaceSelected);
    connect(withdraw_, &QPushButton::clicked, this, &CriteriaDialog::withdrawSelected);
    connect(list_, &QTreeWidget::currentItemChanged, this, [this] {
        if (const auto row = selected()) enter(row->is.criterion);
        refreshButtons();
    });
    connect(planned_, &QComboBox::currentIndexChanged, this, [this] {
        fillUnits();
        fillNeeded();
    });
    for (auto* box : {expected_, spread_})
        connect(box, &QDoubleSpinBox::valueChanged, this, &CriteriaDialog::fillNeeded);
    connect(&library_, &LibraryDocument::changed, this, [this] {
        if (!library_.isOpen() || !library_.contents()->project(project_)) return reject();
        fillLists();
        fillCriteria();
        readCard();
    });
    connect(&library_, &LibraryDocument::storingChanged, this, &CriteriaDialog::refreshButtons);
}

Criterion CriteriaDialog::entered() const {
    Criterion criterion;
    criterion.metric = agreement::metricOfKey(metric_->currentData().toString().toStdString())->metric;
    criterion.sense = static_cast<agreement::Sense>(sense_->currentData().toInt());
    criterion.limit = limit_->value();
    criterion.device = device_->currentData().toString().toStdString();
    criterion.activity = activity_->currentData().toString().toStdString();
    criterion.confidence = confidence_->value() / 100;
    return criterion;
}

void CriteriaDialog::enter(const Criterion& criterion) {
    const auto choose = [](QComboBox& box, const QString& label) {
        if (box.findData(label) < 0) box.addItem(label, label);  // of something that is no longer there
        box.setCurrentIndex(box.findData(label));
    };
    metric_->setCurrentIndex(metric_->findData(qt(agreement::factsOf(criterion.metric).key)));
    sense_->setCurrentIndex(sense_->findData(static_cast<int>(criterion.sense)));
    limit_->setValue(criterion.limit);
    confidence_->setValue(100 * criterion.confidence);
    if (device_->count() > 0) choose(*device_, qt(criterion.device));
    if (activity_->count() > 0) choose(*activity_, qt(criterion.activity));
}

std::vector<Row> CriteriaDialog::rows() const {
    std::vector<Row> found;
    if (library_.isOpen())
        for (const auto& row : library_.contents()->criteria)
            if (row.is.project == project_) found.push_back(row);
    return found;
}

std::optional<Row> CriteriaDialog::selected() const {
    const int at = list_->indexOfTopLevelItem(list_->currentItem());
    const auto all = rows();
    if (at < 0 || at >= static_cast<int>(all.size())) return std::nullopt;
    return all[static_cast<std::size_t>(at)];
}

void CriteriaDialog::select(int row) {
    list_->setCurrentItem(list_->topLevelItem(row));
}

bool CriteriaDialog::setEntered() {
    return library_.addCriterion(tr("setting of a criterion"), project_, entered()).has_value();
}

bool CriteriaDialog::replaceSelected() {
    auto row = selected();
    if (!row || row->is.withdrawnAt) return false;
    row->is.withdrawnAt = library::now();
    return library_.addCriterion(tr("replacing of a criterion"), project_, entered(), {*row}).has_value();
}

bool CriteriaDialog::withdrawSelected() {
    auto row = selected();
    if (!row || row->is.withdrawnAt) return false;
    row->is.withdrawnAt = library::now();
    return library_.edit(tr("withdrawal of a criterion"), {*row});
}

void CriteriaDialog::fillLists() {
    if (!library_.isOpen()) return;
    const auto fill = [](QComboBox& box, const QString& every, const auto& named) {
        const QString current = box.currentData().toString();
        box.clear();
        box.addItem(every, QString());
        for (const auto& row : named)
            box.addItem(qt(row.is.label), qt(row.is.label));
        box.setCurrentIndex(std::max(0, box.findData(current)));
    };
    const auto contents = library_.contents();
    fill(*activity_, tr("every activity"), contents->activities);
    // Those of the matrix: a reference is held to no limit.
    std::vector<RowOf<DeviceId, DeviceParticulars>> devices;
    for (const auto id : contents->columnsOf(project_))
        if (const auto* device = contents->device(id)) devices.push_back({id, *device});
    fill(*device_, tr("every device"), devices);
}

void CriteriaDialog::fillCriteria() {
    const int at = list_->indexOfTopLevelItem(list_->currentItem());
    const QSignalBlocker quiet(list_);
    const QSignalBlocker quietPlanned(planned_);
    const int plannedAt = planned_->currentIndex();
    list_->clear();
    planned_->clear();
    const auto all = rows();
    for (std::size_t i = 0; i < all.size(); ++i) {
        const auto& [id, is] = all[i];
        const auto* known = card_ && i < card_->requirements.size() ? &card_->requirements[i] : nullptr;
        const QString before = !known               ? QString()
                               : !known->beforeData ? tr("none yet")
                               : *known->beforeData ? tr("no")
                                                    : tr("yes");
        auto* item =
            new QTreeWidgetItem(list_, {limitText(is.criterion), placeText(is.criterion),
                                        tr("%1 %").arg(QLocale().toString(100 * is.criterion.confidence)),
                                        is.criterion.setAt ? dayText(*is.criterion.setAt) : QString(), before,
                                        is.withdrawnAt ? dayText(*is.withdrawnAt) : QString()});
        if (is.withdrawnAt)
            for (int column = 0; column < list_->columnCount(); ++column)
                item->setForeground(column, palette().color(QPalette::PlaceholderText));
        else
            planned_->addItem(tr("%1 · %2").arg(limitText(is.criterion), placeText(is.criterion)),
                              static_cast<int>(i));
    }
    for (const int column : {0, 2, 3, 4, 5})
        list_->resizeColumnToContents(column);
    if (at >= 0 && at < list_->topLevelItemCount()) list_->setCurrentItem(list_->topLevelItem(at));
    planned_->setCurrentIndex(std::clamp(plannedAt, planned_->count() > 0 ? 0 : -1, planned_->count() - 1));
    fillUnits();
    fillNeeded();
    refreshButtons();
}

void CriteriaDialog::fillUnits() {
    const auto all = rows();
    const int at = planned_->currentIndex() < 0 ? -1 : planned_->currentData().toInt();
    const auto& facts = at < 0 ? agreement::factsOf(agreement::Metric::Mape)
                               : agreement::factsOf(all[static_cast<std::size_t>(at)].is.criterion.metric);
    const QString suffix = facts.unit.empty() ? QString() : QLatin1Char(' ') + qt(facts.unit);
    expected_->setSuffix(suffix);
    spread_->setSuffix(suffix);
}

void CriteriaDialog::fillNeeded() {
    table_->clear();
    const bool any = planned_->currentIndex() >= 0;
    curve_->setVisible(any);
    if (!any) {
        neededWords_->setText(tr("No criterion is in force. Set one first."));
        return;
    }
    const auto criterion = rows()[static_cast<std::size_t>(planned_->currentData().toInt())].is.criterion;
    const agreement::Expectation expectation{expected_->value(), spread_->value()};
    if (const auto wrong = wrongWith(criterion, expectation)) {
        neededWords_->setText(qt(*wrong));
        curve_->hide();
        return;
    }
    const auto needed = agreement::unitsPlanned(criterion, expectation);
    neededWords_->setText(
        needed ? tr("%1 sessions would decide.").arg(*needed)
               : tr("No number of sessions would decide: what is expected lies on the limit, or "
                    "too near to it."));
    report::PlannedCurve curve;
    curve.expected = expectation.value;
    curve.limit = criterion.limit;
    if (needed) curve.needed = static_cast<double>(*needed);
    for (const auto units : report::plannedCounts(needed)) {
        const auto planned = agreement::plannedInterval(criterion, expectation, units);
        curve.units.push_back(static_cast<double>(units));
        curve.lower.push_back(planned.interval.lower);
        curve.upper.push_back(planned.interval.upper);
        new QTreeWidgetItem(table_, {QString::number(units),
                                     tr("%1 to %2")
                                         .arg(QLocale().toString(planned.interval.lower, 'f', 2),
                                              QLocale().toString(planned.interval.upper, 'f', 2)),
                                     qt(agreement::verdictName(planned.verdict))});
    }
    const auto& facts = agreement::factsOf(criterion.metric);
    const auto axis = std::string{facts.name} + (facts.unit.empty() ? "" : ", " + std::string{facts.unit});
    curve_->setScene(report::plannedScene(curve, axis,
                                          {tr("Interval over the number of sessions").toStdString(),
                                           {},
                                           agreement::criterionWords(criterion),
                                           {}}));
}

void CriteriaDialog::refreshButtons() {
    const bool can = library_.canWrite() && !library_.isStoring();
    const auto row = selected();
    const bool inForce = row && !row->is.withdrawnAt;
    set_->setEnabled(can);
    replace_->setEnabled(can && inForce);
    withdraw_->setEnabled(can && inForce);
    state_->setText(can ? QString() : tr("The library can only be read just now."));
}

void CriteriaDialog::readCard() {
    if (!library_.isOpen()) return;
    const auto* project = library_.contents()->project(project_);
    if (!project) return;
    using Card = Result<evaluation::PlanCard>;
    runner_.run(
        tr("Reading the plan …"),
        [path = library_.path().toStdString(), label = project->label](const RunControl&) -> Card {
            auto reader = Library::open(path, {.write = false});
            if (!reader) return reader.fault();
            return evaluation::planCard(*reader, label);
        },
        [this](Card card) {
            if (card)
                showCard(std::make_shared<const evaluation::PlanCard>(std::move(*card)));
            else
                page_->setPlainText(QString::fromStdString(sentence(card.fault())));
        });
}

void CriteriaDialog::showCard(std::shared_ptr<const evaluation::PlanCard> card) {
    card_ = std::move(card);
    page_->setHtml(QString::fromStdString(report::planCardHtml(*card_)));
    fillCriteria();
}

void CriteriaDialog::copyCard() {
    if (card_) QGuiApplication::clipboard()->setText(QString::fromStdString(report::planCardText(*card_)));
}

void CriteriaDialog::printCard() {
    QPrinter printer;
    QPrintDialog dialog(&printer, this);
    if (dialog.exec() == QDialog::Accepted) page_->print(&printer);
}

}  // namespace beatwitness::app
