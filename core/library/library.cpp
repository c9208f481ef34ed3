#include "core/library/library.h"

#include <fmt/format.h>

#include <utility>

#include "core/library/names.h"
#include "core/library/particulars_store.h"
#include "core/library/recording_store.h"
#include "core/library/session_store.h"
#include "core/library/wearing_recording.h"
#include "core/recording/digest.h"

namespace beatwitness::library {
namespace {

Fault notThere(const std::filesystem::path& library, std::string message) {
    return {FaultCode::NotInLibrary, std::move(message), library.string(), {}, {}};
}

/// `value`, unless the database failed on the way to it.
template <class Value>
Result<Value> unlessFailed(Database& database, Value value) {
    if (auto done = database.outcome(); !done) return done.fault();
    return value;
}

template <class Value>
Result<Value> orNotThere(Database& database, std::optional<Value> value, std::string message) {
    if (auto done = database.outcome(); !done) return done.fault();
    if (!value) return notThere(database.file(), std::move(message));
    return std::move(*value);
}

std::vector<RecordingId> allRecordings(Database& database) {
    std::vector<RecordingId> ids;
    auto rows = database.statement("SELECT id FROM recording ORDER BY id");
    while (rows.step())
        ids.push_back(rows.id<RecordingId>(0));
    return ids;
}

/// SQLite's own judgement of its trees; a damaged one fails the database.
void checkStructure(Database& database) {
    auto rows = database.statement("PRAGMA integrity_check(1)");
    if (rows.step() && rows.text(0) != "ok")
        database.fail(FaultCode::LibraryDamaged,
                      fmt::format("the library is damaged ({}); a whole library was expected", rows.text(0)));
}

void checkRecording(Database& database, ColumnDecoder& columns, RecordingId id) {
    const auto file = loadRecordingRow(database, columns, id);
    const auto bytes = loadOriginal(database, id);
    if (file && bytes && recording::sha256(*bytes) != file->sha256)
        database.fail(FaultCode::LibraryDamaged,
                      fmt::format("the stored original of recording {} is damaged", id.value));
}

}  // namespace

Result<Library> Library::open(const std::filesystem::path& path, const OpenOptions& options) {
    auto file = LibraryFile::open(path, options);
    if (!file) {
        Fault fault = file.fault();
        fault.file = path.string();  // as the user named it, whatever it is canonically
        return fault;
    }
    return Library{std::move(*file)};
}

template <class RowId>
Result<RowId> Library::labelled(std::string_view label) {
    auto& database = file_.database();
    const auto found = findByLabel<RowId>(database, label);
    if (auto done = database.outcome(); !done) return done.fault();
    if (found) return *found;
    if (readOnlyBecause()) return *readOnlyBecause();
    Transaction transaction{database, Durability::Normal};
    const auto added = findOrAdd<RowId>(database, label);
    if (auto done = transaction.commit(); !done) return done.fault();
    return added;
}

Result<WearerId> Library::wearer(std::string_view label) {
    return labelled<WearerId>(label);
}
Result<DeviceId> Library::device(std::string_view label) {
    return labelled<DeviceId>(label);
}
Result<ActivityId> Library::activity(std::string_view label) {
    return labelled<ActivityId>(label);
}
Result<ProjectId> Library::project(std::string_view label) {
    return labelled<ProjectId>(label);
}

Result<ProjectId> Library::findProject(std::string_view label) {
    auto& database = file_.database();
    return orNotThere(database, findByLabel<ProjectId>(database, label),
                      fmt::format("the library has no project \"{}\"", label));
}

template <class RowId>
Result<std::vector<Labelled<RowId>>> Library::labels() {
    return unlessFailed(file_.database(), allLabels<RowId>(file_.database()));
}

Result<std::vector<Labelled<WearerId>>> Library::wearers() {
    return labels<WearerId>();
}
Result<std::vector<Labelled<DeviceId>>> Library::devices() {
    return labels<DeviceId>();
}
Result<std::vector<Labelled<ActivityId>>> Library::activities() {
    return labels<ActivityId>();
}
Result<std::vector<Labelled<ProjectId>>> Library::projects() {
    return labels<ProjectId>();
}

Result<Batch> Library::beginBatch(std::string_view project) {
    if (readOnlyBecause()) return *readOnlyBecause();
    Batch batch{file_.database(), project};
    if (auto begun = file_.database().outcome(); !begun) return begun.fault();
    return batch;
}

Result<std::vector<AddedSession>> Library::addSessions(std::span<const SessionDraft> drafts,
                                                       std::string_view project, const RunControl& run) {
    auto batch = beginBatch(project);
    if (!batch) return batch.fault();
    std::vector<AddedSession> added;
    for (const auto& draft : drafts) {
        auto session = batch->add(draft, run);
        if (!session) return session.fault();
        added.push_back(std::move(*session));
        run.progress(static_cast<double>(added.size()) / static_cast<double>(drafts.size()));
    }
    if (auto done = batch->commit(); !done) return done.fault();
    return added;
}

Result<std::vector<SessionRow>> Library::sessionsOf(ProjectId project) {
    return unlessFailed(file_.database(), sessionRows(file_.database(), project));
}

Result<std::vector<SessionRow>> Library::allSessions() {
    return unlessFailed(file_.database(), sessionRows(file_.database(), std::nullopt));
}

Result<SessionRow> Library::session(SessionId session) {
    return orNotThere(file_.database(), sessionRow(file_.database(), session),
                      fmt::format("the library has no session {}", session.value));
}

Result<recording::RecordingFile> Library::loadRecording(RecordingId recording) {
    return orNotThere(file_.database(), loadRecordingRow(file_.database(), columns_, recording),
                      fmt::format("the library has no recording {}", recording.value));
}

Result<recording::RecordingFile> Library::loadWearing(const WearingRow& wearing) {
    if (wearing.recordings.empty())
        return notThere(path(), fmt::format("{} recorded nothing in this session", wearing.deviceLabel));
    std::vector<DrawnRecording> drawn;
    for (const auto& use : wearing.recordings) {
        auto file = loadRecording(use.recording);
        if (!file) return file.fault();
        drawn.push_back({std::move(*file), use.span});
    }
    return drawnTogether(std::move(drawn));
}

Result<recording::RecordingFile> Library::loadReference(const SessionRow& session) {
    const auto* reference = session.reference();
    if (reference == nullptr) return notThere(path(), "no reference recorded anything in this session");
    auto whole = loadWearing(*reference);
    if (!whole || !session.counted) return whole;
    std::vector<DrawnRecording> part;
    part.push_back({std::move(*whole), session.counted});
    return drawnTogether(std::move(part));
}

Result<std::vector<std::byte>> Library::originalBytes(RecordingId recording) {
    return orNotThere(file_.database(), loadOriginal(file_.database(), recording),
                      fmt::format("the library has no original of recording {}", recording.value));
}

Result<std::vector<StoredFile>> Library::storedFiles() {
    return unlessFailed(file_.database(), library::storedFiles(file_.database(), columns_));
}

Result<std::string> Library::sensorOf(DeviceId device) {
    std::string sensor;
    {
        auto row = file_.database().statement("SELECT sensor FROM device WHERE id = ?", device);
        if (row.step()) sensor = row.text(0);
    }
    return unlessFailed(file_.database(), std::move(sensor));
}

Result<std::optional<RecordingId>> Library::findRecording(std::string_view sha256) {
    return unlessFailed(file_.database(), library::findRecording(file_.database(), sha256));
}

Result<Done> Library::deleteSession(SessionId session) {
    return markDeleted(session, true);
}

Result<Done> Library::restoreSession(SessionId session) {
    return markDeleted(session, false);
}

Result<Done> Library::markDeleted(SessionId session, bool isDeleted) {
    if (readOnlyBecause()) return *readOnlyBecause();
    auto& database = file_.database();
    Transaction transaction{database, Durability::Normal};
    const auto changed = database.number(
        isDeleted ? "UPDATE session SET deleted_at_us = ? WHERE id = ? AND deleted_at_us IS NULL RETURNING id"
                  : "UPDATE session SET deleted_at_us = nullif(?, 0) WHERE id = ? RETURNING id",
        isDeleted ? now().count() : std::int64_t{0}, session);
    if (!changed && !database.failed())
        database.fail(FaultCode::NotInLibrary, fmt::format("the library has no session {}", session.value));
    note(database, isDeleted ? "session deleted" : "session restored", session);
    return transaction.commit();
}

Result<Done> Library::purgeDeleted() {
    if (readOnlyBecause()) return *readOnlyBecause();
    auto& database = file_.database();
    Transaction transaction{database, Durability::Full};
    database.run("DELETE FROM session WHERE deleted_at_us IS NOT NULL");
    database.run("DELETE FROM wearing WHERE deleted_at_us IS NOT NULL");
    database.run("DELETE FROM planned_session WHERE deleted_at_us IS NOT NULL");
    database.run("DELETE FROM figure WHERE deleted_at_us IS NOT NULL");
    database.run("DELETE FROM criterion WHERE deleted_at_us IS NOT NULL");
    database.run("DELETE FROM comparison WHERE deleted_at_us IS NOT NULL");
    database.run("DELETE FROM project WHERE deleted_at_us IS NOT NULL");
    database.run(
        "DELETE FROM device WHERE deleted_at_us IS NOT NULL AND id NOT IN (SELECT device_id FROM wearing "
        "UNION SELECT device_id FROM figure_device)");
    database.run(
        "DELETE FROM wearer WHERE deleted_at_us IS NOT NULL AND id NOT IN "
        "(SELECT wearer_id FROM session WHERE wearer_id IS NOT NULL)");
    database.run(
        "DELETE FROM activity WHERE deleted_at_us IS NOT NULL AND id NOT IN "
        "(SELECT activity_id FROM session WHERE activity_id IS NOT NULL UNION "
        "SELECT activity_id FROM planned_session WHERE activity_id IS NOT NULL UNION "
        "SELECT activity_id FROM figure_activity)");
    database.run("DELETE FROM recording WHERE id NOT IN (SELECT recording_id FROM wearing_recording)");
    note(database, "what was deleted was purged", std::nullopt);
    if (auto done = transaction.commit(); !done) return done;
    database.run("VACUUM");
    return database.outcome();
}

Result<trace::PhasePlan> Library::phases(SessionId session) {
    return unlessFailed(file_.database(), phaseRows(file_.database(), session));
}

Result<std::vector<trace::Pin>> Library::pins(SessionId session) {
    return unlessFailed(file_.database(), pinRows(file_.database(), session));
}

template <class Replace>
Result<Done> Library::mark(SessionId session, std::string_view what, Replace replace) {
    if (readOnlyBecause()) return *readOnlyBecause();
    auto& database = file_.database();
    Transaction transaction{database, Durability::Normal};
    if (!database.number("SELECT id FROM session WHERE id = ?", session) && !database.failed())
        database.fail(FaultCode::NotInLibrary, fmt::format("the library has no session {}", session.value));
    replace(database);
    note(database, what, session);
    return transaction.commit();
}

Result<Done> Library::setPhases(SessionId session, const trace::PhasePlan& phases) {
    return mark(session, "phases changed",
                [&](Database& database) { replacePhases(database, session, phases); });
}

Result<Done> Library::setPins(SessionId session, std::span<const trace::Pin> pins) {
    return mark(session, "pins changed", [&](Database& database) { replacePins(database, session, pins); });
}

Result<std::vector<SessionInputs>> Library::inputsOf(ProjectId project) {
    return unlessFailed(file_.database(), sessionInputs(file_.database(), project));
}

Result<std::vector<StoredOutcome>> Library::outcomesOf(ProjectId project, bool excludeReferenceFaults,
                                                       std::string_view thresholds) {
    return unlessFailed(file_.database(),
                        outcomeRows(file_.database(), project, excludeReferenceFaults, thresholds));
}

Result<Done> Library::storeOutcomes(std::span<const StoredOutcome> outcomes) {
    if (readOnlyBecause()) return *readOnlyBecause();
    Transaction transaction{file_.database(), Durability::Normal};
    replaceOutcomes(file_.database(), outcomes);
    return transaction.commit();
}

Result<std::vector<StoredCriterion>> Library::criteria(ProjectId project) {
    return unlessFailed(file_.database(), criterionRows(file_.database(), project));
}

Result<CriterionId> Library::addCriterion(ProjectId project, const agreement::Criterion& criterion,
                                          std::span<const RowValue> instead) {
    if (readOnlyBecause()) return *readOnlyBecause();
    if (auto wrong = agreement::wrongWith(criterion))
        return Fault{FaultCode::WrongUsage, std::move(*wrong), path().string(), {}, {}};
    auto& database = file_.database();
    Transaction transaction{database, Durability::Normal};
    const auto id = insertCriterion(database, project, criterion);
    for (const auto& row : instead)
        writeRow(database, row);
    note(database, fmt::format("criterion {} added", id.value), std::nullopt);
    if (auto done = transaction.commit(); !done) return done.fault();
    return id;
}

Result<Done> Library::withdrawCriterion(CriterionId criterion) {
    if (readOnlyBecause()) return *readOnlyBecause();
    auto& database = file_.database();
    Transaction transaction{database, Durability::Normal};
    if (!library::withdrawCriterion(database, criterion) && !database.failed())
        database.fail(FaultCode::NotInLibrary,
                      fmt::format("the library has no criterion {} to withdraw", criterion.value));
    note(database, fmt::format("criterion {} withdrawn", criterion.value), std::nullopt);
    return transaction.commit();
}

Result<std::vector<Edition>> Library::editions(ProjectId project) {
    return unlessFailed(file_.database(), editionRows(file_.database(), project));
}

Result<Edition> Library::edition(ProjectId project, std::string_view label) {
    return orNotThere(file_.database(), editionRow(file_.database(), project, label),
                      fmt::format("the project has no edition \"{}\"", label));
}

Result<Done> Library::freezeEdition(ProjectId project, const Edition& edition) {
    if (readOnlyBecause()) return *readOnlyBecause();
    Transaction transaction{file_.database(), Durability::Full};
    insertEdition(file_.database(), project, edition);
    note(file_.database(), fmt::format("edition \"{}\" frozen", edition.label), std::nullopt);
    return transaction.commit();
}

Result<Done> Library::setMarks(SessionId session, const trace::PhasePlan& phases,
                               std::span<const trace::Pin> pins) {
    return mark(session, "phases or pins changed", [&](Database& database) {
        replacePhases(database, session, phases);
        replacePins(database, session, pins);
    });
}

Result<std::vector<JournalEntry>> Library::journal() {
    return unlessFailed(file_.database(), journalEntries(file_.database()));
}

Result<Done> Library::checkIntegrity(const RunControl& run) {
    auto& database = file_.database();
    checkStructure(database);
    const auto recordings = allRecordings(database);
    for (std::size_t i = 0; i < recordings.size() && !database.failed(); ++i) {
        if (run.stopRequested()) return cancelled();
        checkRecording(database, columns_, recordings[i]);
        run.progress(static_cast<double>(i + 1) / static_cast<double>(recordings.size()));
    }
    return database.outcome();
}

}  // namespace beatwitness::library
