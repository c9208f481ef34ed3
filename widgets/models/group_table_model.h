#pragma once

#include <QAbstractTableModel>
#include <vector>

#include "core/evaluation/project_agreement.h"

namespace beatwitness::widgets {

/// Pooled groups as a table: a row a group, a column a label or number, intervals in brackets behind their
/// number. Wraps the groups as they are; data() looks up and formats. Definition, formula, source and how the
/// interval was made are tooltips, and meaningOf() for a panel.
class GroupTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Role { SortRole = Qt::UserRole + 1 };

    using QAbstractTableModel::QAbstractTableModel;

    /// Labels of `by` stand first in a row each; without them a group is headed by its last label.
    void setGroups(std::vector<evaluation::AgreementGroup> groups, bool sessionWeighted, bool labelColumns);
    [[nodiscard]] const std::vector<evaluation::AgreementGroup>& groups() const { return groups_; }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

    /// Name, definition, formula and source, then how this group's interval was made; a line each.
    [[nodiscard]] QString meaningOf(const QModelIndex& index) const;
    /// `rows` of it (empty: all) for a spreadsheet: separated by tabs, ASCII minus, intervals in columns of
    /// their own.
    [[nodiscard]] QString tabSeparated(const QList<int>& rows = {}) const;

private:
    struct Number {
        std::optional<double> value;
        std::optional<agreement::Interval> interval;
        QString method;
    };
    [[nodiscard]] int labels() const;
    [[nodiscard]] Number number(int row, int column) const;
    [[nodiscard]] QString label(int row, int column) const;
    [[nodiscard]] QString text(const Number& number, int column) const;

    std::vector<evaluation::AgreementGroup> groups_;
    bool sessionWeighted_ = false, labelColumns_ = true;
};

}  // namespace beatwitness::widgets
