#pragma once

#include <QWidget>
#include <optional>

#include "app/document/compare_answer.h"

class QButtonGroup;
class QComboBox;
class QLabel;
class QSplitter;
class QStackedWidget;
class QTableView;

namespace beatwitness::widgets {
class SceneView;
}

namespace beatwitness::app {

class CompareBar;
class CompareTableModel;
class KeptComparisons;
class SceneColumn;

/// Two devices, versions or years of the project at hand, held against each other: maps on one scale, errors
/// with intervals, differences session by session, what each error is made of, all numbers with what they
/// mean, how they stand up, and how they went over time.
class ComparePage : public QWidget {
    Q_OBJECT

public:
    enum class View { SideBySide, Numbers, Standing, OverTime };

    ComparePage(LibraryDocument& library, QWidget* window, QWidget* parent = nullptr);

    [[nodiscard]] CompareAnswer& answer() { return *answer_; }
    [[nodiscard]] KeptComparisons& kept() { return *kept_; }
    [[nodiscard]] CompareBar& bar() { return *bar_; }
    [[nodiscard]] QSplitter& splitter() { return *splitter_; }
    [[nodiscard]] QList<QWidget*> panes() const;

    void showProject(std::optional<library::ProjectId> project);
    void showView(View view);
    [[nodiscard]] View view() const;
    /// What the view at hand is as a figure; nothing without a comparison.
    [[nodiscard]] std::optional<report::FigureRequest> asFigure() const;
    /// The selected part of the table, all of it without a selection; for a spreadsheet.
    [[nodiscard]] QString numbersAsText(bool selectedOnly) const;

signals:
    void figureChanged();

protected:
    void showEvent(QShowEvent* event) override;
    void hideEvent(QHideEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    QWidget* makeViewRow();
    QWidget* makeSideBySide();
    QWidget* makeNumbers();
    QWidget* makeStanding();
    QWidget* makeOverTime();
    void follow();
    void showScenes(const report::ComparedView& view);
    void tellEmpty(const QString& sentence);
    void describeMetric();

    LibraryDocument& library_;
    CompareAnswer* answer_;
    KeptComparisons* kept_;
    CompareBar* bar_ = nullptr;
    QButtonGroup* views_ = nullptr;
    QStackedWidget* pages_ = nullptr;
    QStackedWidget* contentOrWords_ = nullptr;
    QLabel* empty_ = nullptr;
    QLabel* words_ = nullptr;
    QLabel* state_ = nullptr;
    QSplitter* splitter_ = nullptr;
    SceneColumn *middle_ = nullptr, *side_ = nullptr, *standing_ = nullptr, *dated_ = nullptr;
    widgets::SceneView *maps_ = nullptr, *attribution_ = nullptr, *intervals_ = nullptr, *paired_ = nullptr;
    widgets::SceneView *standingA_ = nullptr, *standingB_ = nullptr, *overTime_ = nullptr;
    QLabel* standingWords_ = nullptr;
    QComboBox* metric_ = nullptr;
    QTableView* table_ = nullptr;
    CompareTableModel* model_ = nullptr;
    QLabel* definitions_ = nullptr;
    std::shared_ptr<const report::ComparedView> shown_;
};

}  // namespace beatwitness::app
