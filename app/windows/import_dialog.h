#pragma once

#include <QDialog>
#include <QStringList>
#include <filesystem>
#include <vector>

#include "app/document/import_reading.h"
#include "app/windows/import_model.h"
#include "widgets/background/task_runner.h"

class QAction;
class QComboBox;
class QLabel;
class QMenu;
class QProgressBar;
class QPushButton;
class QStackedWidget;
class QTreeView;

namespace beatwitness::widgets {
class TraceStrip;
}

namespace beatwitness::app {

class ImportDetails;

/// What is to be stored, and where.
struct ImportRequest {
    std::vector<std::filesystem::path> files;
    QString library;  ///< path; empty: nothing is known
    QStringList projects;
    QString project;  ///< the one at hand
};

/// A heap of files on its way into the library: read in the background, sessions proposed, everything
/// correctable in place, by keyboard too. Stores nothing itself.
class ImportDialog : public QDialog {
    Q_OBJECT

public:
    explicit ImportDialog(ImportRequest request, QWidget* parent = nullptr);
    ~ImportDialog() override;

    /// Requires: accepted.
    [[nodiscard]] std::vector<library::SessionDraft> drafts() const;
    [[nodiscard]] QString project() const;
    /// What was skipped or could not be read, in a sentence or two; empty where all was taken.
    [[nodiscard]] QString leftOver() const;

    [[nodiscard]] ImportModel& model() { return *model_; }
    [[nodiscard]] QTreeView& tree() { return *tree_; }
    [[nodiscard]] bool isReading() const { return reading_; }

signals:
    /// The files were read and the proposal stands.
    void proposed();
    /// The library could not be asked, or the like; the dialog is closed.
    void refused(const beatwitness::Fault& fault);

protected:
    /// Enter belongs to the field or cell at hand and never stores; Ctrl+Enter does.
    void keyPressEvent(QKeyEvent* event) override;

private:
    QWidget* makeReadingPage();
    QWidget* makeBoardPage();
    void makeActions();
    QAction* addAction(const QString& text, const QKeySequence& keys, const char* name,
                       void (ImportDialog::*run)());
    void makeTree();
    void begin();
    void take(Result<ReadImport> read);
    void refresh();
    void refreshActions();
    void showRow();
    void keepPlace();
    void restorePlace();
    void fillMoveMenu();

    void moveToNew();
    void moveTo(int session);
    void openMoveMenu();
    void mergeUp();
    void leaveOut();
    void addAttempt();
    void toggleFailed();
    void readAs();
    void undoCorrection() { model_->undo(); }
    void redoCorrection() { model_->redo(); }
    void takeReadAnew(Result<ReadImport> read, bool wasUnread, std::size_t index);
    [[nodiscard]] std::vector<BoardPlace> selected() const;
    void correct(ImportBoard board, const BoardPlace& at);
    [[nodiscard]] QString summary() const;

    ImportRequest request_;
    ImportModel* model_;
    bool reading_ = true;
    std::optional<BoardPlace> place_;  ///< of the row at hand, over a change of shape
    QStackedWidget* pages_;
    QProgressBar* progress_ = nullptr;
    QLabel *readingWords_ = nullptr, *summary_ = nullptr, *complaint_ = nullptr;
    QTreeView* tree_ = nullptr;
    widgets::TraceStrip* strip_ = nullptr;
    ImportDetails* details_ = nullptr;
    QComboBox* project_ = nullptr;
    QPushButton* store_ = nullptr;
    QMenu* moveMenu_ = nullptr;
    QList<QAction*> actions_;
    QAction *new_ = nullptr, *move_ = nullptr, *merge_ = nullptr, *leave_ = nullptr, *attempt_ = nullptr,
            *failed_ = nullptr, *readAs_ = nullptr, *undo_ = nullptr, *redo_ = nullptr;
    widgets::TaskRunner runner_;  // last: it works on what stands above
};

}  // namespace beatwitness::app
