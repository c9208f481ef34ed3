#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/library/batch.h"
#include "core/library/comparison_store.h"
#include "core/library/criterion_store.h"
#include "core/library/edition_store.h"
#include "core/library/ids.h"
#include "core/library/journal.h"
#include "core/library/library_file.h"
#include "core/library/outcome_store.h"
#include "core/library/particulars.h"
#include "core/library/phase_store.h"
#include "core/library/session_draft.h"
#include "core/library/session_rows.h"

namespace beatwitness::library {

/// The project that sessions join where none is named.
inline constexpr std::string_view defaultProject = "All sessions";

/// A reviewer's years of sessions, in one file. For one thread at a time; other threads open it once more
/// with `write` false.
///
/// Every call that changes something is one transaction. All may fault with LibraryDamaged, LibraryFailed and
/// LibraryLocked (another program has kept the file busy for longer than `patience`); those that write also
/// with LibraryReadOnly, LibraryLocked (opened for reading only) and LibraryFull. After a fault nothing is
/// changed.
class Library {
public:
    /// Faults: those of LibraryFile::open().
    [[nodiscard]] static Result<Library> open(const std::filesystem::path& path,
                                              const OpenOptions& options = {});

    [[nodiscard]] const std::filesystem::path& path() const { return file_.path(); }
    /// True where this opening made the file.
    [[nodiscard]] bool wasCreated() const { return file_.wasCreated(); }
    /// Why it is open for reading only, as a sentence for people; nothing where it can be written.
    [[nodiscard]] const std::optional<Fault>& readOnlyBecause() const { return file_.readOnlyBecause(); }

    // Names. A label that is there is found, another is added.
    [[nodiscard]] Result<WearerId> wearer(std::string_view label);
    [[nodiscard]] Result<DeviceId> device(std::string_view label);
    [[nodiscard]] Result<ActivityId> activity(std::string_view label);
    [[nodiscard]] Result<ProjectId> project(std::string_view label);
    /// Faults besides: NotInLibrary.
    [[nodiscard]] Result<ProjectId> findProject(std::string_view label);
    // By label.
    [[nodiscard]] Result<std::vector<Labelled<WearerId>>> wearers();
    [[nodiscard]] Result<std::vector<Labelled<DeviceId>>> devices();
    [[nodiscard]] Result<std::vector<Labelled<ActivityId>>> activities();
    [[nodiscard]] Result<std::vector<Labelled<ProjectId>>> projects();

    /// For imports of any length: sessions are handed over one by one. The project is added where it is not
    /// there.
    [[nodiscard]] Result<Batch> beginBatch(std::string_view project = defaultProject);
    /// All of them or none. Faults: those of Batch::add().
    [[nodiscard]] Result<std::vector<AddedSession>> addSessions(std::span<const SessionDraft> drafts,
                                                                std::string_view project = defaultProject,
                                                                const RunControl& run = {});

    /// By start, those without one last. Three text columns a session and two queries in all: 10,000 sessions
    /// take some 50 ms.
    [[nodiscard]] Result<std::vector<SessionRow>> sessionsOf(ProjectId project);
    [[nodiscard]] Result<std::vector<SessionRow>> allSessions();
    /// Faults besides: NotInLibrary.
    [[nodiscard]] Result<SessionRow> session(SessionId session);

    /// As the file was read when it was stored. Faults besides: NotInLibrary.
    [[nodiscard]] Result<recording::RecordingFile> loadRecording(RecordingId recording);
    /// What the wearing recorded, drawn together (wearing_recording.h). Faults besides: NotInLibrary, also
    /// where it draws from nothing.
    [[nodiscard]] Result<recording::RecordingFile> loadWearing(const WearingRow& wearing);
    /// What the session's reference recorded, cut to the part that counts. Faults besides: NotInLibrary, also
    /// where no reference recorded anything.
    [[nodiscard]] Result<recording::RecordingFile> loadReference(const SessionRow& session);
    /// The very bytes of the file. Faults besides: NotInLibrary.
    [[nodiscard]] Result<std::vector<std::byte>> originalBytes(RecordingId recording);
    /// Every recording that is stored, without its samples, in the order of storing.
    [[nodiscard]] Result<std::vector<StoredFile>> storedFiles();
    /// "ECG", "PPG", …; empty where it is not said.
    [[nodiscard]] Result<std::string> sensorOf(DeviceId device);
    /// The recording of these bytes, if the library has it: asked before a file is added.
    [[nodiscard]] Result<std::optional<RecordingId>> findRecording(std::string_view sha256);

    /// What can be edited of a row, deleted or not. Faults besides: NotInLibrary.
    [[nodiscard]] Result<SessionParticulars> particulars(SessionId session);
    [[nodiscard]] Result<WearingParticulars> particulars(WearingId wearing);
    [[nodiscard]] Result<WearerParticulars> particulars(WearerId wearer);
    [[nodiscard]] Result<DeviceParticulars> particulars(DeviceId device);
    [[nodiscard]] Result<ActivityParticulars> particulars(ActivityId activity);
    [[nodiscard]] Result<ProjectParticulars> particulars(ProjectId project);
    [[nodiscard]] Result<PlannedParticulars> particulars(PlannedId planned);
    [[nodiscard]] Result<FigureParticulars> particulars(FigureId figure);
    [[nodiscard]] Result<CriterionParticulars> particulars(CriterionId criterion);
    [[nodiscard]] Result<ComparisonParticulars> particulars(ComparisonId comparison);
    /// What was decided on the flags of a session. Faults besides: NotInLibrary.
    [[nodiscard]] Result<SessionReview> review(SessionId session);
    /// The same rows as they are stored now: what undoing a write of `values` has to write.
    [[nodiscard]] Result<std::vector<RowValue>> stored(std::span<const RowValue> values);
    /// All of them or none, with one entry `what` in the journal. Faults besides: NotInLibrary, WrongUsage
    /// (an empty name, a label that another row has).
    [[nodiscard]] Result<Done> write(std::span<const RowValue> values, std::string_view what);
    /// An attempt or a plan added, as write() would store it.
    [[nodiscard]] Result<WearingId> addWearing(SessionId session, const WearingParticulars& wearing);
    [[nodiscard]] Result<PlannedId> addPlanned(const PlannedParticulars& planned);
    /// Behind the other figures of its project; `figure.place` does not count.
    [[nodiscard]] Result<FigureId> addFigure(const FigureParticulars& figure);
    /// The plan of every project, in the order of adding, less what is deleted.
    [[nodiscard]] Result<std::vector<RowOf<PlannedId, PlannedParticulars>>> plan();
    /// The figures of every project, by project and place, less what is deleted.
    [[nodiscard]] Result<std::vector<RowOf<FigureId, FigureParticulars>>> figures();
    /// Of every project; what is withdrawn stays in the list.
    [[nodiscard]] Result<std::vector<RowOf<CriterionId, CriterionParticulars>>> allCriteria();
    /// Faults besides: WrongUsage (no name, or one that the project has already).
    [[nodiscard]] Result<ComparisonId> addComparison(const ComparisonParticulars& comparison);
    /// Of every project, by name.
    [[nodiscard]] Result<std::vector<RowOf<ComparisonId, ComparisonParticulars>>> allComparisons();
    [[nodiscard]] Result<std::vector<Membership>> memberships();
    [[nodiscard]] Result<std::vector<DeletedRow>> deletedRows();

    /// Hides the session everywhere; restoreSession() brings it back as it was. Faults besides: NotInLibrary.
    [[nodiscard]] Result<Done> deleteSession(SessionId session);
    [[nodiscard]] Result<Done> restoreSession(SessionId session);
    /// Removes for good what is deleted and not in use, and recordings that nothing draws from any more; the
    /// file shrinks.
    [[nodiscard]] Result<Done> purgeDeleted();
    /// A copy of everything in one tidy file; what stands at `copy` gives way once the copy is whole. Works
    /// on a library that is open for reading only. Faults besides: NotWritable.
    [[nodiscard]] Result<Done> saveCopy(const std::filesystem::path& copy);

    // What people marked in a session, on its reference's clock. Set in place of all that is there.
    // Faults besides: NotInLibrary.
    [[nodiscard]] Result<trace::PhasePlan> phases(SessionId session);
    [[nodiscard]] Result<Done> setPhases(SessionId session, const trace::PhasePlan& phases);
    [[nodiscard]] Result<std::vector<trace::Pin>> pins(SessionId session);
    [[nodiscard]] Result<Done> setPins(SessionId session, std::span<const trace::Pin> pins);
    /// Both, in one transaction.
    [[nodiscard]] Result<Done> setMarks(SessionId session, const trace::PhasePlan& phases,
                                        std::span<const trace::Pin> pins);

    // Kept outcomes of analyses (core/evaluation/outcomes.h fills and reads them).
    [[nodiscard]] Result<std::vector<SessionInputs>> inputsOf(ProjectId project);
    /// Of the analyses under these changed thresholds (StoredOutcome::thresholds).
    [[nodiscard]] Result<std::vector<StoredOutcome>> outcomesOf(ProjectId project,
                                                                bool excludeReferenceFaults = true,
                                                                std::string_view thresholds = {});
    [[nodiscard]] Result<Done> storeOutcomes(std::span<const StoredOutcome> outcomes);

    // Criteria of a project; what is withdrawn stays in the list. Faults besides: WrongUsage (no sense),
    // NotInLibrary.
    [[nodiscard]] Result<std::vector<StoredCriterion>> criteria(ProjectId project);
    /// `instead`: rows to be written with it, such as the criterion that it takes the place of, withdrawn.
    [[nodiscard]] Result<CriterionId> addCriterion(ProjectId project, const agreement::Criterion& criterion,
                                                   std::span<const RowValue> instead = {});
    [[nodiscard]] Result<Done> withdrawCriterion(CriterionId criterion);

    // What was published of a project. Faults besides: WrongUsage (the label is taken), NotInLibrary.
    [[nodiscard]] Result<std::vector<Edition>> editions(ProjectId project);
    [[nodiscard]] Result<Edition> edition(ProjectId project, std::string_view label);
    [[nodiscard]] Result<Done> freezeEdition(ProjectId project, const Edition& edition);

    [[nodiscard]] Result<std::vector<JournalEntry>> journal();
    /// Reads everything once: SQLite's own structure, every channel, every original. Faults: LibraryDamaged
    /// with what was found first.
    [[nodiscard]] Result<Done> checkIntegrity(const RunControl& run = {});

private:
    explicit Library(LibraryFile file) : file_{std::move(file)} {}
    template <class RowId>
    Result<RowId> labelled(std::string_view label);
    template <class RowId>
    Result<std::vector<Labelled<RowId>>> labels();
    template <class Replace>
    [[nodiscard]] Result<Done> mark(SessionId session, std::string_view what, Replace replace);
    template <class RowId>
    auto particularsOf(RowId id);
    [[nodiscard]] Result<Done> markDeleted(SessionId session, bool isDeleted);

    LibraryFile file_;
    ColumnDecoder columns_;
};

}  // namespace beatwitness::library
