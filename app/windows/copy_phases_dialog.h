#pragma once

#include <QDialog>
#include <vector>

#include "app/document/library_document.h"
#include "app/document/phase_copies.h"
#include "widgets/background/task_runner.h"

class QLabel;
class QLineEdit;
class QPushButton;
class QTreeWidget;

namespace beatwitness::app {

class StoredSession;

/// Asks into which sessions the phases at hand are copied, and how much later they begin there. Sessions of
/// the same activity that have no phases are ticked; a session that has some keeps them unless it is ticked.
class CopyPhasesDialog : public QDialog {
    Q_OBJECT

public:
    /// Requires: a session of the library at hand, with phases.
    CopyPhasesDialog(LibraryDocument& library, StoredSession& from, Document& document,
                     QWidget* parent = nullptr);

signals:
    /// What was done: a headline and a sentence.
    void told(const QString& headline, const QString& sentence);

private:
    void makeLayout();
    void fill();
    void refresh();
    void copy();
    void finish(Result<std::vector<PhaseCopy>> copies, std::size_t asked);
    [[nodiscard]] std::vector<LibraryContents::Session> ticked() const;

    LibraryDocument& library_;
    StoredSession& from_;
    Document& document_;
    std::vector<LibraryContents::Session> sessions_;  ///< of the rows, in their order
    QTreeWidget* list_;
    QLineEdit* later_;
    QLabel* complaint_;
    QPushButton* copy_ = nullptr;
    widgets::TaskRunner runner_;  // last: its deliveries use what stands above
};

}  // namespace beatwitness::app
