#pragma once

#include <QAbstractTableModel>
#include <memory>
#include <vector>

#include "core/analysis/session_analysis.h"

namespace beatwitness::widgets {

/// The agreement block of every test as a table: a row per number, a column per test and clock.
///
/// Wraps an immutable analysis; data() looks numbers up and formats them. The column that the rest of the
/// window goes by is set in bold on a tint. Definitions are the rows' tooltips.
class AgreementTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    using QAbstractTableModel::QAbstractTableModel;

    /// nullptr empties the table.
    void setSession(std::shared_ptr<const analysis::SessionAnalysis> session);
    /// Which column is in force.
    void setShown(int test, bool aligned);
    /// -1 where there is none.
    [[nodiscard]] int shownColumn() const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

    /// Rows and columns with their headings, separated by tabs, as shown but with ASCII minus signs, so that
    /// a spreadsheet takes them for numbers. Empty `rows` or `columns` mean all.
    [[nodiscard]] QString tabSeparated(const QList<int>& rows = {}, const QList<int>& columns = {}) const;

private:
    struct Column {
        int test = 0;
        bool aligned = false;
    };

    [[nodiscard]] const agreement::AgreementBlock* block(const Column& column) const;
    [[nodiscard]] QString heading(const Column& column) const;

    std::shared_ptr<const analysis::SessionAnalysis> session_;
    std::vector<Column> columns_;
    int shownTest_ = 0;
    bool shownAligned_ = false;
};

}  // namespace beatwitness::widgets
