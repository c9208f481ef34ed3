#include "app/windows/thresholds_dialog.h"

#include <QDialogButtonBox>
#include <QHeaderView>
#include <QLocale>
#include <QPushButton>
#include <QTreeWidget>
#include <QVBoxLayout>

#include "app/document/document.h"
#include "app/document/library_document.h"
#include "core/analysis/settings_table.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace library;
using analysis::Settings;

namespace {

enum Column { Key, Value, Unit, Standard, Reason, Source, columns };

QString qt(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<int>(text.size()));
}

QString valueText(double value) {
    return QLocale().toString(value, 'g', 9);
}

std::map<std::string, double> changedOf(const Settings& settings) {
    std::map<std::string, double> changed;
    for (const auto& row : analysis::settingsTable(settings))
        if (row.value != row.standard) changed[std::string{row.key}] = row.value;
    return changed;
}

}  // namespace

ThresholdsDialog::ThresholdsDialog(Document& document, LibraryDocument& library,
                                   std::optional<ProjectId> project, QWidget* parent)
    : QDialog(parent),
      document_(document),
      library_(library),
      project_(project),
      head_(widgets::makeBody({}, this)),
      table_(new QTreeWidget(this)),
      refusal_(widgets::makeBody({}, this)) {
    setObjectName(QStringLiteral("thresholdsDialog"));
    setWindowTitle(tr("Thresholds"));
    resize(fontMetrics().averageCharWidth() * 150, fontMetrics().height() * 32);
    table_->setAccessibleName(windowTitle());
    table_->setHeaderLabels(
        {tr("Threshold"), tr("Value"), tr("Unit"), tr("Standard"), tr("What it decides"), tr("Source")});
    table_->setRootIsDecorated(false);
    table_->setAlternatingRowColors(true);
    table_->setEditTriggers(QAbstractItemView::NoEditTriggers);
    refusal_->setObjectName(QStringLiteral("thresholdRefusal"));
    refusal_->hide();
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, this);
    auto* change = buttons->addButton(tr("&Change (F2)"), QDialogButtonBox::ActionRole);
    resetOne_ = buttons->addButton(tr("&Reset This One"), QDialogButtonBox::ActionRole);
    resetAll_ = buttons->addButton(tr("Reset &All"), QDialogButtonBox::ResetRole);
    auto* column = new QVBoxLayout(this);
    column->addWidget(head_);
    column->addWidget(table_, 1);
    column->addWidget(refusal_);
    column->addWidget(buttons);
    const auto edit = [this] {
        if (auto* item = table_->currentItem(); item && item->flags().testFlag(Qt::ItemIsEditable))
            table_->editItem(item, Value);
    };
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    connect(change, &QPushButton::clicked, this, edit);
    change->setShortcut(Qt::Key_F2);
    connect(table_, &QTreeWidget::itemDoubleClicked, this, edit);
    connect(resetOne_, &QPushButton::clicked, this, [this] { reset(false); });
    connect(resetAll_, &QPushButton::clicked, this, [this] { reset(true); });
    connect(table_, &QTreeWidget::itemChanged, this, &ThresholdsDialog::edited);
    connect(table_, &QTreeWidget::currentItemChanged, this, [this](QTreeWidgetItem* item) {
        resetOne_->setEnabled(item && item->data(Key, Qt::UserRole).toBool());
    });
    connect(&library_, &LibraryDocument::changed, this, &ThresholdsDialog::fill);
    connect(&document_, &Document::analysisChanged, this, &ThresholdsDialog::fill);
    fill();
    table_->setCurrentItem(table_->topLevelItem(0));
}

bool ThresholdsDialog::ofProject() const {
    const bool hasProject = project_ && library_.isOpen() && library_.contents()->project(*project_);
    return hasProject && (document_.isStored() || !document_.hasSession());
}

Settings ThresholdsDialog::settings() const {
    if (ofProject()) return analysis::settingsWith(library_.contents()->project(*project_)->thresholds);
    return document_.hasSession() ? document_.truePlan().settings : Settings{};
}

void ThresholdsDialog::fill() {
    filling_ = true;
    const auto rows = analysis::settingsTable(settings());
    const int at = table_->indexOfTopLevelItem(table_->currentItem());
    table_->clear();
    int count = 0;
    for (const auto& row : rows) {
        const bool changed = row.value != row.standard;
        count += changed;
        auto* item = new QTreeWidgetItem(table_, {qt(row.key), valueText(row.value), qt(row.unit),
                                                  valueText(row.standard), qt(row.reason), qt(row.source)});
        item->setData(Key, Qt::UserRole, changed);
        item->setTextAlignment(Value, Qt::AlignRight | Qt::AlignVCenter);
        item->setTextAlignment(Standard, Qt::AlignRight | Qt::AlignVCenter);
        item->setToolTip(Reason, qt(row.reason));
        if (row.settable) item->setFlags(item->flags() | Qt::ItemIsEditable);
        QFont font = table_->font();
        font.setBold(changed);
        item->setFont(Key, font);
        item->setFont(Value, font);
        if (changed) item->setText(Key, QStringLiteral("\u2022 ") + qt(row.key));
    }
    for (int column = 0; column < columns; ++column)
        table_->resizeColumnToContents(column);
    table_->setColumnWidth(Reason, fontMetrics().averageCharWidth() * 70);
    const QString whose =
        ofProject() ? tr("Of the project %1.")
                          .arg(QString::fromStdString(library_.contents()->project(*project_)->label))
                    : tr("Of the recordings at hand; a project of a library keeps its own.");
    head_->setText(whose + QLatin1Char(' ') +
                   (count == 0 ? tr("All are as the program has them.")
                               : tr("%n of them changed, marked with a dot.", nullptr, count)));
    resetAll_->setEnabled(count > 0);
    table_->setCurrentItem(table_->topLevelItem(std::max(0, at)));
    filling_ = false;
}

void ThresholdsDialog::edited(QTreeWidgetItem* item, int column) {
    if (filling_ || column != Value) return;
    const auto row =
        analysis::settingsTable(settings())[static_cast<std::size_t>(table_->indexOfTopLevelItem(item))];
    bool isNumber = false;
    const double value = QLocale().toDouble(item->text(Value), &isNumber);
    auto next = settings();
    const auto done =
        isNumber
            ? analysis::setThreshold(next, row.key, value)
            : Result<Done>{Fault{FaultCode::WrongUsage,
                                 tr("\"%1\" is no number; expected one from %2 to %3")
                                     .arg(item->text(Value), valueText(row.lowest), valueText(row.highest))
                                     .toStdString(),
                                 {},
                                 {},
                                 {}}};
    refusal_->setVisible(!done);
    if (!done) {
        refusal_->setText(QString::fromStdString(sentence(done.fault())));
        // Not while the editor is closing.
        return QMetaObject::invokeMethod(
                   this, [this] { fill(); }, Qt::QueuedConnection),
               void();
    }
    QMetaObject::invokeMethod(
        this, [this, next, key = qt(row.key)] { store(next, tr("threshold %1").arg(key)); },
        Qt::QueuedConnection);
}

void ThresholdsDialog::reset(bool all) {
    refusal_->hide();
    auto next = settings();
    if (all) return store({}, tr("reset of all thresholds"));
    const int at = table_->indexOfTopLevelItem(table_->currentItem());
    if (at < 0) return;
    const auto row = analysis::settingsTable(next)[static_cast<std::size_t>(at)];
    if (analysis::setThreshold(next, row.key, row.standard))
        store(next, tr("reset of threshold %1").arg(qt(row.key)));
}

void ThresholdsDialog::store(const Settings& settings, const QString& what) {
    if (!ofProject()) {
        if (document_.hasSession() && !document_.isStored()) document_.setThresholds(settings, what);
        return;
    }
    auto is = *library_.contents()->project(*project_);
    is.thresholds = changedOf(settings);
    library_.edit(what, {RowOf<ProjectId, ProjectParticulars>{*project_, std::move(is)}});
    fill();
}

}  // namespace beatwitness::app
