#pragma once

#include <QDialog>
#include <memory>
#include <optional>
#include <vector>

#include "app/document/library_document.h"
#include "core/agreement/planning.h"
#include "core/evaluation/plan_card.h"
#include "widgets/background/task_runner.h"

class QComboBox;
class QDoubleSpinBox;
class QLabel;
class QPushButton;
class QTabWidget;
class QTextBrowser;
class QTreeWidget;

namespace beatwitness::widgets {
class SceneView;
}

namespace beatwitness::app {

/// What a project requires and plans, ahead of its results: criteria set, replaced and withdrawn (each one
/// undo step; what was required is never written over), the sessions that a criterion will take under an
/// assumed spread, and the plan card to copy or print.
class CriteriaDialog : public QDialog {
    Q_OBJECT

public:
    CriteriaDialog(LibraryDocument& library, library::ProjectId project, QWidget* parent = nullptr);

    /// What the fields say; nothing but its `setAt` is missing.
    [[nodiscard]] agreement::Criterion entered() const;
    /// Fills the fields.
    void enter(const agreement::Criterion& criterion);
    bool setEntered();
    bool replaceSelected();
    bool withdrawSelected();
    void select(int row);
    /// nullptr until it was read.
    [[nodiscard]] const evaluation::PlanCard* card() const { return card_.get(); }
    void copyCard();

private:
    QWidget* makeCriteria();
    QWidget* makeFields();
    QWidget* makeNeeded();
    QWidget* makeCard();
    void connectAll();
    void readCard();
    void showCard(std::shared_ptr<const evaluation::PlanCard> card);
    void fillLists();
    void fillCriteria();
    void fillNeeded();
    void fillUnits();
    void refreshButtons();
    void printCard();
    /// Rows of the project, in the order of the list.
    [[nodiscard]] std::vector<library::RowOf<library::CriterionId, library::CriterionParticulars>> rows()
        const;
    [[nodiscard]] std::optional<library::RowOf<library::CriterionId, library::CriterionParticulars>>
    selected() const;

    LibraryDocument& library_;
    library::ProjectId project_;
    std::shared_ptr<const evaluation::PlanCard> card_;
    QTabWidget* tabs_;
    QTreeWidget* list_ = nullptr;
    QComboBox *metric_ = nullptr, *sense_ = nullptr, *device_ = nullptr, *activity_ = nullptr;
    QDoubleSpinBox *limit_ = nullptr, *confidence_ = nullptr;
    QPushButton *set_ = nullptr, *replace_ = nullptr, *withdraw_ = nullptr;
    QLabel* state_ = nullptr;
    QComboBox* planned_ = nullptr;
    QDoubleSpinBox *expected_ = nullptr, *spread_ = nullptr;
    QLabel* neededWords_ = nullptr;
    widgets::SceneView* curve_ = nullptr;
    QTreeWidget* table_ = nullptr;
    QTextBrowser* page_ = nullptr;
    widgets::TaskRunner runner_;  // last: it works on what stands above
};

}  // namespace beatwitness::app
