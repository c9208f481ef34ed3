#pragma once

#include <QWidget>
#include <optional>

#include "app/pages/figures/figure_commands.h"
#include "app/pages/figures/figure_maker.h"

class QLabel;
class QListView;
class QSplitter;
class QStackedWidget;

namespace beatwitness::widgets {
class FigurePreview;
}

namespace beatwitness::app {

class FigureActions;
class FigureListModel;
class FigureProperties;

/// The figures of the project at hand: their list, the one at hand as it will be exported, and all that can
/// be said of it.
class FiguresPage : public QWidget {
    Q_OBJECT

public:
    /// `window` gets the commands that work all over it.
    FiguresPage(LibraryDocument& library, QWidget* window, QWidget* parent = nullptr);

    [[nodiscard]] FigureCommands& commands() { return *commands_; }
    [[nodiscard]] FigureActions& actions() { return *actions_; }
    [[nodiscard]] FigureMaker& maker() { return *maker_; }
    [[nodiscard]] FigureListModel& model() { return *model_; }
    [[nodiscard]] QListView& list() { return *list_; }
    [[nodiscard]] widgets::FigurePreview& preview() { return *preview_; }
    [[nodiscard]] FigureProperties& properties() { return *properties_; }
    [[nodiscard]] QSplitter& splitter() { return *splitter_; }
    /// What F6 steps through, in order.
    [[nodiscard]] QList<QWidget*> panes() const;

    void showProject(std::optional<library::ProjectId> project);
    [[nodiscard]] std::optional<library::ProjectId> project() const;
    [[nodiscard]] std::optional<library::FigureId> current() const;
    void setCurrent(library::FigureId figure);

signals:
    void currentChanged();

protected:
    void showEvent(QShowEvent* event) override;

private:
    QWidget* makeSideList();
    QWidget* makeMiddle();
    void connectCommands();
    void follow();
    void keepCurrent();
    void wantFigures();
    void showCurrent();
    void refreshState();

    LibraryDocument& library_;
    FigureMaker* maker_;
    FigureListModel* model_;
    QListView* list_;
    FigureCommands* commands_;
    FigureActions* actions_ = nullptr;
    FigureProperties* properties_;
    widgets::FigurePreview* preview_ = nullptr;
    QStackedWidget* listOrWords_ = nullptr;
    QLabel* emptyWords_ = nullptr;
    QLabel* facts_ = nullptr;
    QSplitter* splitter_ = nullptr;
    std::optional<library::FigureId> current_;
    int currentRow_ = 0;
};

}  // namespace beatwitness::app
