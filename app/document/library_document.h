#pragma once

#include <QObject>
#include <QUndoStack>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "app/document/library_contents.h"
#include "core/foundation/result.h"
#include "core/library/library.h"
#include "widgets/background/task_runner.h"

namespace beatwitness::app {

/// The library that the window works in: what it holds now, every change of it as an undo step, and what
/// changed.
///
/// Gestures are stored at once, on the GUI thread, one transaction each; opening, importing and copying
/// happen on the runner's worker. Only one of them at a time has the library: while sessions are being stored
/// (isStoring()), edits are refused. What a reader in the background needs it opens once more, for reading.
class LibraryDocument : public QObject {
    Q_OBJECT

public:
    /// `undo` is the window's one stack; it must outlive the document. Opening and closing clear it.
    explicit LibraryDocument(QUndoStack& undo, QObject* parent = nullptr);
    ~LibraryDocument() override;

    [[nodiscard]] widgets::TaskRunner& runner() { return runner_; }
    [[nodiscard]] QUndoStack& undoStack() { return undo_; }

    [[nodiscard]] bool isOpen() const { return contents_ != nullptr; }
    [[nodiscard]] const QString& path() const { return path_; }
    /// The file's name without folder and ending.
    [[nodiscard]] QString name() const;
    /// Why it can only be read; nothing where it can be written.
    [[nodiscard]] const std::optional<Fault>& readOnlyBecause() const { return readOnlyBecause_; }
    [[nodiscard]] bool canWrite() const { return isOpen() && !readOnlyBecause_; }
    [[nodiscard]] bool isStoring() const { return storing_; }
    /// nullptr without a library.
    [[nodiscard]] const SharedContents& contents() const { return contents_; }

    /// In the background; then opened(), or failed() with the library at hand still there.
    void open(const QString& path);
    /// The same for a file that is not there yet.
    void create(const QString& path);
    void close();
    /// In the background; then copySaved() or failed().
    void saveCopy(const QString& path);

    /// What is stored of a row now, deleted or not; nothing (and failed() is told) where it cannot be read.
    template <class RowId>
    [[nodiscard]] auto particulars(RowId id) {
        using Found = decltype(std::declval<library::Library&>().particulars(id));
        return readParticulars<RowId, std::decay_t<decltype(*std::declval<Found&>())>>(id);
    }
    [[nodiscard]] std::optional<library::RowValue> rowValue(const library::AnyRowId& id);

    /// Stores `values` as one undo step named `what`. Nothing happens where they are what is stored already.
    /// False where it could not be stored: failed() was told.
    bool edit(const QString& what, std::vector<library::RowValue> values);
    /// Adds an attempt to a session, or a session to the plan, each one undo step.
    bool addWearing(const QString& what, library::SessionId session, library::WearingParticulars wearing);
    std::optional<library::PlannedId> addPlanned(const QString& what, library::PlannedParticulars planned);

    /// Behind the project's other figures.
    std::optional<library::FigureId> addFigure(const QString& what, const library::FigureParticulars& figure);
    /// Sets a requirement, now; what stands in `instead` (a withdrawn one) is stored with it as one step.
    std::optional<library::CriterionId> addCriterion(const QString& what, library::ProjectId project,
                                                     agreement::Criterion criterion,
                                                     std::vector<library::RowValue> instead = {});
    std::optional<library::ComparisonId> addComparison(const QString& what,
                                                       library::ComparisonParticulars comparison);
    /// Freezes what is published, which no step undoes. False where it could not be stored.
    bool freezeEdition(library::ProjectId project, const library::Edition& edition);

    // A name for an edit to point to: found, or added (which is no undo step: nothing shows it yet).
    std::optional<library::DeviceId> device(const QString& label);
    std::optional<library::WearerId> wearer(const QString& label);
    std::optional<library::ActivityId> activity(const QString& label);
    std::optional<library::ProjectId> project(const QString& label);

    /// Stores sessions in the background, all or none, with progress and cancel, as one undo step (undone by
    /// deleting, redone by restoring). Requires: canWrite(), not isStoring(). Then imported() or failed().
    void importSessions(std::vector<library::SessionDraft> drafts, const QString& project);

    /// What was decided on the flags of a session; edit() changes it, as a row.
    [[nodiscard]] Result<library::SessionReview> review(library::SessionId session);

    /// What people marked in a session. Setting is stored at once and no undo step of its own: Annotations
    /// makes one. Faults: as Library's; LibraryLocked while sessions are being stored.
    [[nodiscard]] Result<trace::PhasePlan> phases(library::SessionId session);
    [[nodiscard]] Result<std::vector<trace::Pin>> pins(library::SessionId session);
    [[nodiscard]] Result<Done> setMarks(library::SessionId session, const trace::PhasePlan& phases,
                                        const std::vector<trace::Pin>& pins);

    /// Keeps what an analysis found out, for the next time; no undo step, and no fault where it cannot: it is
    /// only ever a copy.
    void keepOutcomes(std::span<const library::StoredOutcome> outcomes);

    [[nodiscard]] std::vector<library::DeletedRow> deletedRows();
    /// Removes for good what is deleted. Clears the undo stack: its steps may speak of what is gone.
    bool purgeDeleted();

    /// Writes and tells what changed; the undo steps' business only. Waits for an import at work.
    [[nodiscard]] Result<Done> store(const std::vector<library::RowValue>& values, const QString& what);
    void tellFailed(const QString& what, const Fault& fault);

signals:
    void opened();
    void closed();
    /// contents() is new; `change` says in what.
    void changed(const beatwitness::app::LibraryChange& change);
    void storingChanged(bool storing);
    void imported(const std::vector<beatwitness::library::AddedSession>& sessions);
    /// The import was cancelled in time: nothing was stored.
    void importStopped();
    void copySaved(const QString& path);
    /// `what` was being done, `fault` hindered it; the library is as it was.
    void failed(const QString& what, const beatwitness::Fault& fault);

private:
    struct Held;
    struct Import;

    void openWith(const QString& path, bool create);
    void take(std::shared_ptr<Held> held, LibraryContents contents);
    void finishImport();
    void setStoring(bool storing);
    /// The library, where nothing else works with it; else tells why not.
    [[nodiscard]] library::Library* writable(const QString& what);
    [[nodiscard]] Fault busy() const;
    template <class RowId, class Particulars>
    [[nodiscard]] std::optional<Particulars> readParticulars(RowId id);
    [[nodiscard]] bool refresh(const QString& what, const LibraryChange& change);
    /// One step that adds a row which is stored already, and changes others.
    template <class RowId, class Particulars>
    [[nodiscard]] bool pushAdded(const QString& what, RowId id, Particulars is,
                                 std::vector<library::RowValue> before = {},
                                 std::vector<library::RowValue> after = {});
    template <class RowId>
    std::optional<RowId> named(const QString& what, Result<RowId> (library::Library::*find)(std::string_view),
                               const QString& label);

    QUndoStack& undo_;
    QString path_;
    std::optional<Fault> readOnlyBecause_;
    SharedContents contents_;
    std::shared_ptr<Held> held_;
    std::shared_ptr<Import> import_;  ///< while sessions are being stored
    bool storing_ = false;
    bool storeFailed_ = false;    ///< of the step being pushed
    widgets::TaskRunner runner_;  // last: it works on what stands above
};

}  // namespace beatwitness::app
