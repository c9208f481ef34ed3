#pragma once

#include <QAbstractTableModel>
#include <memory>
#include <string>
#include <vector>

#include "core/report/figures/compared_view.h"

namespace beatwitness::app {

/// A row an activity, then all of them, for one metric; headings tell what a column means.
class CompareTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    explicit CompareTableModel(QObject* parent = nullptr) : QAbstractTableModel(parent) {}

    /// nullptr empties it.
    void setView(std::shared_ptr<const report::ComparedView> view);
    /// By its JSON key.
    void setMetric(std::string metric);
    [[nodiscard]] const std::string& metric() const { return metric_; }
    /// For a spreadsheet; empty rows or columns mean all.
    [[nodiscard]] QString tabSeparated(const QList<int>& rows, const QList<int>& columns) const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    void fill();
    [[nodiscard]] QString heading(int column) const;

    std::shared_ptr<const report::ComparedView> view_;
    std::string metric_ = "mae_bpm";
    std::vector<std::vector<std::string>> rows_;
};

}  // namespace beatwitness::app
