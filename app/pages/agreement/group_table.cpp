#include "app/pages/agreement/group_table.h"

#include <QClipboard>
#include <QGuiApplication>
#include <QHeaderView>
#include <QKeyEvent>
#include <QSortFilterProxyModel>
#include <algorithm>

#include "widgets/models/group_table_model.h"

namespace beatwitness::app {

using namespace widgets;

GroupTable::GroupTable(QWidget* parent)
    : QTableView(parent), model_(new GroupTableModel(this)), sorted_(new QSortFilterProxyModel(this)) {
    setObjectName(QStringLiteral("groupTable"));
    setAccessibleName(tr("Agreement by group"));
    sorted_->setSourceModel(model_);
    sorted_->setSortRole(GroupTableModel::SortRole);
    sorted_->setSortLocaleAware(true);
    setModel(sorted_);
    setSortingEnabled(true);
    horizontalHeader()->setSortIndicator(-1, Qt::AscendingOrder);  // as pooled
    setShowGrid(false);
    setAlternatingRowColors(true);
    setFrameShape(QFrame::NoFrame);
    setTabKeyNavigation(false);
    setCornerButtonEnabled(false);
    setHorizontalScrollMode(ScrollPerPixel);
    horizontalHeader()->setSectionResizeMode(QHeaderView::ResizeToContents);
    verticalHeader()->hide();
    verticalHeader()->setDefaultSectionSize(std::max(24, fontMetrics().height() + 9));
}

void GroupTable::setGroups(std::vector<evaluation::AgreementGroup> groups, bool sessionWeighted) {
    model_->setGroups(std::move(groups), sessionWeighted, true);
}

QString GroupTable::asText(bool selectedOnly) const {
    QList<int> rows;
    for (int row = 0; row < sorted_->rowCount(); ++row) {
        const auto index = sorted_->index(row, 0);
        if (!selectedOnly || selectionModel()->rowIntersectsSelection(row))
            rows << sorted_->mapToSource(index).row();
    }
    return model_->tabSeparated(rows);
}

void GroupTable::keyPressEvent(QKeyEvent* event) {
    if (event->matches(QKeySequence::Copy))
        QGuiApplication::clipboard()->setText(asText(selectionModel()->hasSelection()));
    else
        QTableView::keyPressEvent(event);
}

void GroupTable::currentChanged(const QModelIndex& current, const QModelIndex& previous) {
    QTableView::currentChanged(current, previous);
    emit meaningChanged(model_->meaningOf(sorted_->mapToSource(current)));
}

}  // namespace beatwitness::app
