#pragma once

#include <QDialog>
#include <functional>
#include <optional>
#include <vector>

#include "app/document/library_document.h"
#include "core/evaluation/edition.h"
#include "widgets/background/task_runner.h"

class QLabel;
class QLineEdit;
class QPushButton;
class QTreeWidget;

namespace beatwitness::app {

/// What was published of a project: frozen number by number under a name, which nothing changes any more; and
/// for each edition what its question comes to now, what changed and what can be the reason.
class EditionsDialog : public QDialog {
    Q_OBJECT

public:
    /// `question`: what would be frozen, but for project and criteria.
    EditionsDialog(LibraryDocument& library, library::ProjectId project, evaluation::Question question,
                   QWidget* parent = nullptr);

    /// In the background; then frozen() or the sentence why not.
    void freeze(const QString& label);
    void openEdition(int row);
    [[nodiscard]] bool isBusy() const { return runner_.busy(); }

signals:
    void frozen(const QString& label);
    void compared();

private:
    struct Answer {
        std::vector<library::Edition> editions;
        std::optional<library::Edition> then, now;
        std::vector<library::StoredOutcome> fresh;
    };

    QWidget* makeList();
    QWidget* makeChanges();
    void readEditions();
    void fillEditions(std::vector<library::Edition> editions);
    void fillChanges(const library::Edition& then, const library::Edition& now);
    void refreshButtons();
    void work(const QString& what,
              std::function<Result<Answer>(library::Library&, const RunControl&)> function,
              std::function<void(Answer)> done);
    [[nodiscard]] evaluation::Question asked() const;

    LibraryDocument& library_;
    library::ProjectId project_;
    evaluation::Question question_;
    std::vector<library::Edition> editions_;  ///< without their numbers
    QTreeWidget* list_ = nullptr;
    QTreeWidget* changes_ = nullptr;
    QLineEdit* name_ = nullptr;
    QPushButton* freeze_ = nullptr;
    QLabel* because_ = nullptr;
    widgets::TaskRunner runner_;  // last: it works on what stands above
};

}  // namespace beatwitness::app
