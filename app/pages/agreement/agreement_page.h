#pragma once

#include <QWidget>
#include <optional>

#include "core/agreement/pair_filter.h"
#include "core/library/ids.h"
#include "core/report/agreement_view.h"

class QComboBox;
class QLabel;
class QSplitter;
class QStackedWidget;
class QTableView;

namespace beatwitness::widgets {
class AgreementMapView;
class AgreementTableModel;
class PageTabs;
class SceneView;
}  // namespace beatwitness::widgets

namespace beatwitness::app {

class Document;
class GroupTable;
class PooledSide;
class ProjectAnswer;
class ScopeBar;
class StoredSession;

/// How far apart test and reference are, in one session or over a project: maps, plots and tables of one
/// scope, the answer in words, numbers with intervals, limits, verdicts.
class AgreementPage : public QWidget {
    Q_OBJECT

public:
    AgreementPage(Document& document, StoredSession& stored, ProjectAnswer& answer,
                  QWidget* parent = nullptr);

    [[nodiscard]] QSplitter& splitter() { return *splitter_; }
    [[nodiscard]] QList<QWidget*> panes() const;
    /// The selected part of the table in sight, all of it without a selection; for a spreadsheet.
    [[nodiscard]] QString numbersAsText(bool selectedOnly) const;
    /// Rings the pair of that second in the map.
    void setCursor(std::optional<double> seconds);

    /// Whether it is the page in front, so that its numbers are wanted.
    void setInFront(bool inFront);
    /// The project at hand; nothing: there is none.
    void setProject(std::optional<library::ProjectId> project);
    [[nodiscard]] bool showsProject() const;
    void showProject(bool project);
    void showPart(report::AgreementPart part);
    /// The view at hand as a figure of the project; nothing where there is none that says the same.
    [[nodiscard]] std::optional<report::FigureRequest> figure() const;

signals:
    /// Session or project.
    void scopeChanged();
    /// The seconds selected in a project's map are to be seen in the session with most of them.
    void sessionAsked(beatwitness::library::SessionId session, const beatwitness::agreement::RateBox& box);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    QWidget* makeMiddle();
    QWidget* makeControls(QWidget* parent);
    QWidget* makeSide();
    QWidget* makeWords();
    QWidget* makeTable();
    void connectParts();
    void refreshSession();
    void refreshClock();
    void refreshSelection();
    void refreshLoose();
    void refreshAvailable();
    void ask();
    void showAnswer();
    void showHeading();
    void showPart(const report::AgreementView& view);
    void showPooledMap(const report::AgreementView& view);
    void tellBox();
    void openFullest();
    void fitTable();

    /// Pairs of a project's map in a selected area, by session.
    struct Held {
        double seconds = 0, all = 0;
        std::size_t sessions = 0;
        std::optional<library::SessionId> fullest;
        QString fullestName;
        double fullestSeconds = 0;
    };
    [[nodiscard]] Held heldIn(const agreement::RateBox& box) const;

    Document& document_;
    StoredSession& stored_;
    ProjectAnswer& answer_;
    std::optional<library::ProjectId> project_;
    std::optional<agreement::RateBox> box_;  ///< in a project's map
    ScopeBar* scope_ = nullptr;
    widgets::PageTabs* parts_ = nullptr;
    QStackedWidget* middle_ = nullptr;
    widgets::AgreementMapView* map_ = nullptr;
    widgets::SceneView* scene_ = nullptr;
    GroupTable* groups_ = nullptr;
    QLabel *heading_ = nullptr, *nothing_ = nullptr;
    QWidget* controls_ = nullptr;
    QWidget* mapControls_ = nullptr;
    QComboBox* counts_ = nullptr;
    widgets::AgreementTableModel* model_ = nullptr;
    QTableView* table_ = nullptr;
    QLabel* words_ = nullptr;
    QLabel* readout_ = nullptr;
    QWidget* side_ = nullptr;
    QWidget *wordsPart_ = nullptr, *tablePart_ = nullptr;
    PooledSide* pooled_ = nullptr;
    QSplitter* splitter_ = nullptr;
};

}  // namespace beatwitness::app
