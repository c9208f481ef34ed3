#pragma once

#include <QWidget>

#include "app/document/headlines.h"
#include "app/pages/matrix/matrix_model.h"
#include "app/pages/matrix/matrix_view.h"

class QComboBox;
class QLabel;
class QLineEdit;

namespace beatwitness::app {

/// The left side of the window: search, the project, its matrix, and below it what all sessions come to.
class MatrixPanel : public QWidget {
    Q_OBJECT

public:
    MatrixPanel(LibraryDocument& library, Headlines& headlines, QWidget* parent = nullptr);

    [[nodiscard]] MatrixModel& model() { return *model_; }
    [[nodiscard]] MatrixView& view() { return *view_; }
    [[nodiscard]] QLineEdit& search() { return *search_; }
    /// Nothing without a library or a project in it.
    [[nodiscard]] std::optional<library::ProjectId> project() const;
    [[nodiscard]] QString projectName() const;
    void showProject(library::ProjectId project);
    void showProject(const QString& label);
    /// What F6 steps through.
    [[nodiscard]] QList<QWidget*> panes() const;

    [[nodiscard]] QSize sizeHint() const override;

signals:
    void projectChanged();
    /// Sessions were let go on the project chooser.
    void sessionsDropped(const std::vector<beatwitness::library::SessionId>& sessions,
                         const QPoint& globalPlace);

protected:
    void paintEvent(QPaintEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void follow();
    void fillProjects();
    void refreshFooter();
    void preferSight();

    LibraryDocument& library_;
    Headlines& headlines_;
    MatrixModel* model_;
    MatrixView* view_;
    QLineEdit* search_;
    QComboBox* projects_;
    QWidget* totals_;
    QLabel* counts_;
};

}  // namespace beatwitness::app
