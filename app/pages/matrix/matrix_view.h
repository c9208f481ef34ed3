#pragma once

#include <QTreeView>

#include "app/pages/matrix/matrix_model.h"

namespace beatwitness::app {

/// The matrix as it is seen: heads open and close with the arrow keys, Enter opens a session, F2 renames it,
/// a click on a header sorts. Stays where it was when the model is filled anew.
class MatrixView : public QTreeView {
    Q_OBJECT

public:
    explicit MatrixView(MatrixModel& model, QWidget* parent = nullptr);

    /// The sessions that are selected, from above.
    [[nodiscard]] std::vector<library::SessionId> selectedSessions() const;
    [[nodiscard]] std::vector<library::PlannedId> selectedPlans() const;
    /// The device of the column that has the keyboard.
    [[nodiscard]] std::optional<library::DeviceId> currentDevice() const;
    /// Sessions in sight.
    [[nodiscard]] std::vector<library::SessionId> sessionsInSight() const;
    void select(const MatrixModel::RowId& row);

signals:
    void openAsked(beatwitness::library::SessionId session);
    /// Enter on a planned session.
    void renameAsked();
    void planAsked(beatwitness::library::PlannedId planned);
    void menuAsked(const QPoint& globalPlace);
    void selectionChangedByUser();

protected:
    bool event(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void contextMenuEvent(QContextMenuEvent* event) override;
    void selectionChanged(const QItemSelection& selected, const QItemSelection& deselected) override;
    void drawBranches(QPainter*, const QRect&, const QModelIndex&) const override {}

private:
    void keep();
    void putBack();
    void layOutColumns();
    void sortBy(int section);
    void openCurrent();

    MatrixModel& model_;
    std::set<QString> closed_;  ///< labels of groups that the user closed
    MatrixModel::RowId current_;
    std::vector<MatrixModel::RowId> selected_;
    int scroll_ = 0;
    bool puttingBack_ = false;
};

}  // namespace beatwitness::app
