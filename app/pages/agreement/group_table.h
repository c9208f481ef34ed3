#pragma once

#include <QTableView>

#include "core/evaluation/project_agreement.h"

class QSortFilterProxyModel;

namespace beatwitness::widgets {
class GroupTableModel;
}

namespace beatwitness::app {

/// The table of groups: a click on a head sorts, Ctrl+C copies what is selected, all of it without a
/// selection.
class GroupTable : public QTableView {
    Q_OBJECT

public:
    explicit GroupTable(QWidget* parent = nullptr);

    void setGroups(std::vector<evaluation::AgreementGroup> groups, bool sessionWeighted);
    [[nodiscard]] widgets::GroupTableModel& groups() { return *model_; }
    [[nodiscard]] QString asText(bool selectedOnly) const;

signals:
    /// What the number at hand means; empty without one.
    void meaningChanged(const QString& text);

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void currentChanged(const QModelIndex& current, const QModelIndex& previous) override;

private:
    widgets::GroupTableModel* model_;
    QSortFilterProxyModel* sorted_;
};

}  // namespace beatwitness::app
