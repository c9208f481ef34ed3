#include "app/pages/compare/compare_table_model.h"

#include <QFont>
#include <QStringList>

#include "core/report/comparison_summary.h"

namespace beatwitness::app {
namespace {

QString qt(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

constexpr int activityColumn = 0, aColumn = 2, bColumn = 3, differenceColumn = 4, methodColumn = 10;

QList<int> orAll(const QList<int>& some, int count) {
    if (!some.isEmpty()) return some;
    QList<int> all;
    for (int i = 0; i < count; ++i)
        all << i;
    return all;
}

}  // namespace

void CompareTableModel::setView(std::shared_ptr<const report::ComparedView> view) {
    view_ = std::move(view);
    fill();
}

void CompareTableModel::setMetric(std::string metric) {
    metric_ = std::move(metric);
    fill();
}

void CompareTableModel::fill() {
    beginResetModel();
    rows_.clear();
    if (view_)
        for (const auto& comparison : view_->comparisons)
            rows_.push_back(report::comparedRow(comparison, metric_));
    endResetModel();
}

int CompareTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(rows_.size());
}

int CompareTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(report::comparedColumns().size());
}

QVariant CompareTableModel::data(const QModelIndex& index, int role) const {
    if (!index.isValid()) return {};
    const auto row = static_cast<std::size_t>(index.row());
    const bool words = index.column() == activityColumn || index.column() == methodColumn;
    if (role == Qt::DisplayRole) return qt(rows_[row][static_cast<std::size_t>(index.column())]);
    if (role == Qt::ToolTipRole && index.column() == methodColumn) return qt(rows_[row][methodColumn]);
    if (role == Qt::TextAlignmentRole)
        return static_cast<int>((words ? Qt::AlignLeft : Qt::AlignRight) | Qt::AlignVCenter);
    if (role == Qt::FontRole && view_->comparisons[row].allActivities) {
        QFont strong;
        strong.setBold(true);
        return strong;
    }
    return {};
}

QString CompareTableModel::heading(int column) const {
    if (view_ && !view_->a.empty()) {
        const QString a = qt(view_->a), b = qt(view_->b);
        if (column == aColumn) return a;
        if (column == bColumn) return b;
        if (column == differenceColumn) return tr("%1 \u2212 %2").arg(a, b);
    }
    return qt(report::comparedColumns()[static_cast<std::size_t>(column)].name);
}

QVariant CompareTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal || section < 0 || section >= columnCount()) return {};
    if (role == Qt::DisplayRole) return heading(section);
    if (role == Qt::ToolTipRole || role == Qt::WhatsThisRole || role == Qt::AccessibleDescriptionRole)
        return qt(report::comparedColumns()[static_cast<std::size_t>(section)].definition);
    return {};
}

QString CompareTableModel::tabSeparated(const QList<int>& rows, const QList<int>& columns) const {
    const auto across = orAll(columns, columnCount()), down = orAll(rows, rowCount());
    QStringList lines, cells;
    for (const int column : across)
        cells << heading(column);
    lines << cells.join(QLatin1Char('\t'));
    for (const int row : down) {
        cells.clear();
        for (const int column : across)
            cells << index(row, column).data().toString();
        lines << cells.join(QLatin1Char('\t'));
    }
    return lines.join(QLatin1Char('\n')) + QLatin1Char('\n');
}

}  // namespace beatwitness::app
