#include "app/windows/deleted_dialog.h"

#include <QDateTime>
#include <QDialogButtonBox>
#include <QHeaderView>
#include <QLocale>
#include <QMessageBox>
#include <QPushButton>
#include <QTreeWidget>
#include <QVBoxLayout>
#include <array>

#include "app/document/library_document.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace library;

namespace {

QString kindWord(const AnyRowId& id) {
    const std::array words{DeletedDialog::tr("session"),         DeletedDialog::tr("wearing"),
                           DeletedDialog::tr("wearer"),          DeletedDialog::tr("device"),
                           DeletedDialog::tr("activity"),        DeletedDialog::tr("project"),
                           DeletedDialog::tr("planned session"), DeletedDialog::tr("figure"),
                           DeletedDialog::tr("criterion"),       DeletedDialog::tr("comparison")};
    return words[id.index()];
}

}  // namespace

DeletedDialog::DeletedDialog(LibraryDocument& library, QWidget* parent)
    : QDialog(parent), library_(library), list_(new QTreeWidget(this)) {
    setObjectName(QStringLiteral("deletedDialog"));
    setWindowTitle(tr("What Was Deleted"));
    resize(fontMetrics().averageCharWidth() * 90, fontMetrics().height() * 22);
    list_->setAccessibleName(windowTitle());
    list_->setHeaderLabels({tr("What"), tr("Name"), tr("Deleted")});
    list_->setRootIsDecorated(false);
    list_->setSelectionMode(QAbstractItemView::ExtendedSelection);
    list_->header()->setSectionResizeMode(1, QHeaderView::Stretch);
    list_->header()->setStretchLastSection(false);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, this);
    restore_ = buttons->addButton(tr("&Bring Back"), QDialogButtonBox::ActionRole);
    remove_ = buttons->addButton(tr("&Remove All for Good …"), QDialogButtonBox::ActionRole);
    auto* column = new QVBoxLayout(this);
    column->addWidget(widgets::makeBody(
        tr("Nothing that was deleted is gone: it is kept here until it is removed for good."), this));
    column->addWidget(list_);
    column->addWidget(buttons);
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    connect(restore_, &QPushButton::clicked, this, &DeletedDialog::restore);
    connect(remove_, &QPushButton::clicked, this, &DeletedDialog::askRemoval);
    connect(&library_, &LibraryDocument::changed, this, &DeletedDialog::fill);
    connect(list_, &QTreeWidget::itemSelectionChanged, this,
            [this] { restore_->setEnabled(!list_->selectedItems().isEmpty()); });
    fill();
}

void DeletedDialog::fill() {
    rows_ = library_.deletedRows();
    list_->clear();
    for (const auto& row : rows_) {
        const auto at = QDateTime::fromMSecsSinceEpoch(row.at.count() / 1000);
        new QTreeWidgetItem(list_, {kindWord(row.id), QString::fromStdString(row.label),
                                    QLocale().toString(at, QLocale::ShortFormat)});
    }
    list_->resizeColumnToContents(0);
    list_->resizeColumnToContents(2);
    if (list_->topLevelItemCount() > 0) list_->setCurrentItem(list_->topLevelItem(0));
    restore_->setEnabled(!rows_.empty());
    remove_->setEnabled(!rows_.empty());
}

void DeletedDialog::restore() {
    std::vector<RowValue> values;
    QString last;
    for (const auto* item : list_->selectedItems()) {
        const auto& row =
            rows_[static_cast<std::size_t>(list_->indexOfTopLevelItem(const_cast<QTreeWidgetItem*>(item)))];
        if (auto value = library_.rowValue(row.id)) {
            std::visit(
                [](auto& is) {
                    if constexpr (requires { is.is.deleted; }) is.is.deleted = false;
                },
                *value);
            values.push_back(std::move(*value));
            last = QString::fromStdString(row.label);
        }
    }
    if (values.empty()) return;
    const QString what = values.size() == 1 ? last : tr("%1 rows").arg(values.size());
    library_.edit(tr("bringing back of %1").arg(what), std::move(values));
}

void DeletedDialog::askRemoval() {
    auto* question = new QMessageBox(QMessageBox::Warning, tr("Remove for Good"),
                                     tr("Remove what was deleted for good?"), QMessageBox::Cancel, this);
    question->setObjectName(QStringLiteral("removalQuestion"));
    question->setInformativeText(tr(
        "This cannot be undone. Recordings that no session draws from any more go too, and the list of steps "
        "to undo is cleared."));
    question->setAttribute(Qt::WA_DeleteOnClose);
    auto* remove = question->addButton(tr("Remove for Good"), QMessageBox::DestructiveRole);
    question->setDefaultButton(QMessageBox::Cancel);
    connect(remove, &QAbstractButton::clicked, this, [this] { library_.purgeDeleted(); });
    question->open();
}

}  // namespace beatwitness::app
