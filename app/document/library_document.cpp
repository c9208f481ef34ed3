#include "app/document/library_document.h"

#include <QFileInfo>
#include <cassert>
#include <mutex>
#include <utility>

#include "app/document/edit_library.h"

namespace beatwitness::app {

using namespace library;

/// The one connection that writes. Whoever works with it holds the mutex: the GUI thread for a gesture, the
/// worker for an import.
struct LibraryDocument::Held {
    explicit Held(Library opened) : library(std::move(opened)) {}
    std::mutex mutex;
    std::optional<Library> library;  ///< guarded by mutex
};

/// An import under way. The outcome outlives a cancelled run, so that what was committed is never forgotten.
struct LibraryDocument::Import {
    std::vector<SessionDraft> drafts;
    std::string project;
    std::optional<Result<std::vector<AddedSession>>> outcome;  ///< guarded by Held::mutex
};

namespace {

using Opened = std::pair<std::shared_ptr<Library>, LibraryContents>;

/// Opened and read. A library made for nothing is no harm: it holds what its layout says.
Result<Opened> openAndRead(const std::filesystem::path& path, bool create) {
    auto opened = Library::open(path, {.createIfAbsent = create});
    if (!opened) return opened.fault();
    auto contents = readContents(*opened);
    if (!contents) return contents.fault();
    return Opened{std::make_shared<Library>(std::move(*opened)), std::move(*contents)};
}

struct AddTo {
    LibraryChange& change;
    void operator()(const RowOf<SessionId, SessionParticulars>& row) const { change.sessions.insert(row.id); }
    void operator()(const RowOf<WearingId, WearingParticulars>& row) const {
        change.sessions.insert(row.is.session);
    }
    void operator()(const RowOf<WearerId, WearerParticulars>& row) const { change.wearers.insert(row.id); }
    void operator()(const RowOf<DeviceId, DeviceParticulars>& row) const { change.devices.insert(row.id); }
    void operator()(const RowOf<ActivityId, ActivityParticulars>& row) const {
        change.activities.insert(row.id);
    }
    void operator()(const RowOf<ProjectId, ProjectParticulars>& row) const { change.projects.insert(row.id); }
    void operator()(const RowOf<PlannedId, PlannedParticulars>& row) const { change.plan.insert(row.id); }
    void operator()(const RowOf<FigureId, FigureParticulars>& row) const { change.figures.insert(row.id); }
    void operator()(const RowOf<CriterionId, CriterionParticulars>& row) const {
        change.projects.insert(row.is.project);
    }
    void operator()(const RowOf<ComparisonId, ComparisonParticulars>& row) const {
        change.projects.insert(row.is.project);
    }
    void operator()(const RowOf<SessionId, SessionReview>& row) const {
        change.sessions.insert(row.id);
        change.reviews.insert(row.id);
    }
    void operator()(const Membership& row) const { change.projects.insert(row.project); }
};

LibraryChange changeOf(const std::vector<RowValue>& values) {
    LibraryChange change;
    for (const auto& value : values)
        std::visit(AddTo{change}, value);
    return change;
}

LibraryChange everything() {
    LibraryChange change;
    change.everything = true;
    return change;
}

/// What an import added, as rows: not there and there.
struct ImportedRows {
    std::vector<RowValue> before, after;
};

Result<ImportedRows> rowsOf(Library& library, const std::vector<AddedSession>& added,
                            const std::string& project, const LibraryContents& contents) {
    ImportedRows rows;
    const auto joined = library.findProject(project);
    if (!joined) return joined.fault();
    const auto both = [&](auto row, auto makeAbsent) {
        rows.after.emplace_back(row);
        makeAbsent(row);
        rows.before.emplace_back(std::move(row));
    };
    if (!contents.project(*joined)) {
        auto is = library.particulars(*joined);
        if (!is) return is.fault();
        both(RowOf<ProjectId, ProjectParticulars>{*joined, std::move(*is)},
             [](auto& row) { row.is.deleted = true; });
    }
    for (const auto& session : added) {
        for (const auto wearing : session.joined ? session.wearings : std::vector<WearingId>{}) {
            auto is = library.particulars(wearing);
            if (!is) return is.fault();
            both(RowOf<WearingId, WearingParticulars>{wearing, std::move(*is)},
                 [](auto& row) { row.is.deleted = true; });
        }
        if (session.isNew && !session.joined) {
            auto is = library.particulars(session.id);
            if (!is) return is.fault();
            both(RowOf<SessionId, SessionParticulars>{session.id, std::move(*is)},
                 [](auto& row) { row.is.deleted = true; });
        } else if (!contents.isMember(*joined, session.id)) {
            both(Membership{*joined, session.id, true}, [](auto& row) { row.isMember = false; });
        }
    }
    return rows;
}

}  // namespace

LibraryDocument::LibraryDocument(QUndoStack& undo, QObject* parent) : QObject(parent), undo_(undo) {
    // A cancelled import may have been committed just before: what stands in the library is asked.
    connect(&runner_, &widgets::TaskRunner::cancelled, this, [this] {
        if (import_) finishImport();
    });
}

LibraryDocument::~LibraryDocument() {
    runner_.disconnect(this);
    runner_.cancel();
}

QString LibraryDocument::name() const {
    return QFileInfo(path_).completeBaseName();
}

void LibraryDocument::open(const QString& path) {
    openWith(path, false);
}

void LibraryDocument::create(const QString& path) {
    if (QFileInfo::exists(path))
        emit failed(tr("new library"),
                    Fault{FaultCode::NotWritable,
                          tr("there is a file of this name already; a new name was expected").toStdString(),
                          path.toStdString(),
                          {},
                          {}});
    else
        openWith(path, true);
}

void LibraryDocument::openWith(const QString& path, bool create) {
    const QString what = tr("opening of %1").arg(QFileInfo(path).fileName());
    if (storing_) {
        emit failed(
            what, Fault{FaultCode::LibraryLocked, tr("sessions are being stored").toStdString(), {}, {}, {}});
        return;
    }
    if (isOpen() && QFileInfo(path) == QFileInfo(path_)) return;  // it is at hand
    runner_.run(
        tr("Opening %1 …").arg(QFileInfo(path).fileName()),
        [file = path.toStdString(), create](const RunControl&) { return openAndRead(file, create); },
        [this, what](Result<Opened> result) {
            if (!result)
                emit failed(what, result.fault());
            else
                take(std::make_shared<Held>(std::move(*result->first)), std::move(result->second));
        });
}

void LibraryDocument::take(std::shared_ptr<Held> held, LibraryContents contents) {
    close();
    held_ = std::move(held);
    path_ = QString::fromStdString(held_->library->path().string());
    readOnlyBecause_ = held_->library->readOnlyBecause();
    contents_ = std::make_shared<const LibraryContents>(std::move(contents));
    emit opened();
    emit changed(everything());
}

void LibraryDocument::close() {
    if (!isOpen()) return;
    if (import_) runner_.cancel();
    undo_.clear();
    contents_ = nullptr;
    path_.clear();
    readOnlyBecause_.reset();
    {
        const std::lock_guard lock(held_->mutex);
        held_->library.reset();  // one tidy file from here on
    }
    held_.reset();
    emit closed();
    emit changed(everything());
}

void LibraryDocument::saveCopy(const QString& path) {
    const QString what = tr("copy to %1").arg(QFileInfo(path).fileName());
    if (!isOpen() || storing_) return;
    // A reader of its own: the copy shows what is committed, and gestures go on meanwhile.
    runner_.run(
        tr("Copying to %1 …").arg(QFileInfo(path).fileName()),
        [from = path_.toStdString(), to = path.toStdString()](const RunControl&) -> Result<Done> {
            auto reader = Library::open(from, {.write = false});
            if (!reader) return reader.fault();
            return reader->saveCopy(to);
        },
        [this, what, path](const Result<Done>& done) {
            if (done)
                emit copySaved(path);
            else
                emit failed(what, done.fault());
        });
}

Library* LibraryDocument::writable(const QString& what) {
    std::optional<Fault> fault;
    if (!isOpen() || storing_)
        fault = busy();
    else if (readOnlyBecause_)
        fault = readOnlyBecause_;
    if (!fault) return &*held_->library;
    emit failed(what, *fault);
    return nullptr;
}

bool LibraryDocument::refresh(const QString& what, const LibraryChange& change) {
    auto now = refreshed(*contents_, *held_->library, change);
    if (!now) {
        emit failed(what, now.fault());
        return false;
    }
    contents_ = std::make_shared<const LibraryContents>(std::move(*now));
    emit changed(change);
    return true;
}

template <class RowId, class Particulars>
std::optional<Particulars> LibraryDocument::readParticulars(RowId id) {
    if (!isOpen() || storing_) return std::nullopt;
    auto is = held_->library->particulars(id);
    if (is) return std::move(*is);
    emit failed(tr("reading of the library"), is.fault());
    return std::nullopt;
}

template std::optional<SessionParticulars> LibraryDocument::readParticulars(SessionId);
template std::optional<WearingParticulars> LibraryDocument::readParticulars(WearingId);
template std::optional<WearerParticulars> LibraryDocument::readParticulars(WearerId);
template std::optional<DeviceParticulars> LibraryDocument::readParticulars(DeviceId);
template std::optional<ActivityParticulars> LibraryDocument::readParticulars(ActivityId);
template std::optional<ProjectParticulars> LibraryDocument::readParticulars(ProjectId);
template std::optional<PlannedParticulars> LibraryDocument::readParticulars(PlannedId);
template std::optional<FigureParticulars> LibraryDocument::readParticulars(FigureId);
template std::optional<CriterionParticulars> LibraryDocument::readParticulars(CriterionId);
template std::optional<ComparisonParticulars> LibraryDocument::readParticulars(ComparisonId);

std::optional<RowValue> LibraryDocument::rowValue(const AnyRowId& id) {
    return std::visit(
        [this](auto row) -> std::optional<RowValue> {
            auto is = particulars(row);
            if (!is) return std::nullopt;
            return RowOf<decltype(row), std::decay_t<decltype(*is)>>{row, std::move(*is)};
        },
        id);
}

bool LibraryDocument::edit(const QString& what, std::vector<RowValue> values) {
    auto* library = writable(what);
    if (!library) return false;
    auto before = library->stored(values);
    if (!before) {
        emit failed(what, before.fault());
        return false;
    }
    if (*before == values) return true;
    storeFailed_ = false;
    undo_.push(new EditLibrary(*this, what, std::move(*before), std::move(values), EditLibrary::Stored::No));
    return !storeFailed_;
}

Result<Done> LibraryDocument::store(const std::vector<RowValue>& values, const QString& what) {
    if (!held_) return Fault{FaultCode::LibraryNotOpened, tr("no library is open").toStdString(), {}, {}, {}};
    Result<Done> done = Done{};
    {
        const std::lock_guard lock(held_->mutex);
        done = held_->library->write(values, what.toStdString());
    }
    if (done) static_cast<void>(refresh(what, changeOf(values)));
    return done;
}

void LibraryDocument::tellFailed(const QString& what, const Fault& fault) {
    storeFailed_ = true;
    emit failed(what, fault);
}

bool LibraryDocument::addWearing(const QString& what, SessionId session, WearingParticulars wearing) {
    auto* library = writable(what);
    if (!library) return false;
    wearing.session = session;
    const auto id = library->addWearing(session, wearing);
    if (!id) {
        emit failed(what, id.fault());
        return false;
    }
    return pushAdded(what, *id, std::move(wearing));
}

template <class RowId, class Particulars>
bool LibraryDocument::pushAdded(const QString& what, RowId id, Particulars is, std::vector<RowValue> before,
                                std::vector<RowValue> after) {
    using Row = RowOf<RowId, Particulars>;
    after.emplace_back(Row{id, is});
    is.deleted = true;
    before.emplace_back(Row{id, std::move(is)});
    const auto change = changeOf(after);
    undo_.push(
        new EditLibrary(*this, what, std::move(before), std::move(after), EditLibrary::Stored::Already));
    return refresh(what, change);
}

std::optional<PlannedId> LibraryDocument::addPlanned(const QString& what, PlannedParticulars planned) {
    auto* library = writable(what);
    if (!library) return std::nullopt;
    const auto id = library->addPlanned(planned);
    if (!id) {
        emit failed(what, id.fault());
        return std::nullopt;
    }
    if (!pushAdded(what, *id, std::move(planned))) return std::nullopt;
    return *id;
}

std::optional<FigureId> LibraryDocument::addFigure(const QString& what, const FigureParticulars& figure) {
    auto* library = writable(what);
    if (!library) return std::nullopt;
    const auto id = library->addFigure(figure);
    auto added = id ? library->particulars(*id) : Result<FigureParticulars>{id.fault()};
    if (!added) {
        emit failed(what, added.fault());
        return std::nullopt;
    }
    if (!pushAdded(what, *id, std::move(*added))) return std::nullopt;
    return *id;
}

std::optional<CriterionId> LibraryDocument::addCriterion(const QString& what, ProjectId project,
                                                         agreement::Criterion criterion,
                                                         std::vector<RowValue> instead) {
    auto* library = writable(what);
    if (!library) return std::nullopt;
    auto before = library->stored(instead);
    criterion.setAt = library::now();
    const auto id = before ? library->addCriterion(project, criterion, instead) : before.fault();
    if (!id) {
        emit failed(what, id.fault());
        return std::nullopt;
    }
    if (!pushAdded(what, *id, CriterionParticulars{project, std::move(criterion), {}, false},
                   std::move(*before), std::move(instead)))
        return std::nullopt;
    return *id;
}

std::optional<ComparisonId> LibraryDocument::addComparison(const QString& what,
                                                           ComparisonParticulars comparison) {
    auto* library = writable(what);
    if (!library) return std::nullopt;
    const auto id = library->addComparison(comparison);
    if (!id) {
        emit failed(what, id.fault());
        return std::nullopt;
    }
    if (!pushAdded(what, *id, std::move(comparison))) return std::nullopt;
    return *id;
}

bool LibraryDocument::freezeEdition(ProjectId project, const Edition& edition) {
    const QString what = tr("freezing of edition %1").arg(QString::fromStdString(edition.label));
    auto* library = writable(what);
    if (!library) return false;
    const auto done = library->freezeEdition(project, edition);
    if (!done) {
        emit failed(what, done.fault());
        return false;
    }
    LibraryChange change;
    change.projects.insert(project);
    return refresh(what, change);
}
Result<SessionReview> LibraryDocument::review(SessionId session) {
    assert(isOpen());
    const std::lock_guard lock(held_->mutex);
    return held_->library->review(session);
}

Result<trace::PhasePlan> LibraryDocument::phases(SessionId session) {
    assert(isOpen());
    const std::lock_guard lock(held_->mutex);
    return held_->library->phases(session);
}

Result<std::vector<trace::Pin>> LibraryDocument::pins(SessionId session) {
    assert(isOpen());
    const std::lock_guard lock(held_->mutex);
    return held_->library->pins(session);
}

Result<Done> LibraryDocument::setMarks(SessionId session, const trace::PhasePlan& phases,
                                       const std::vector<trace::Pin>& pins) {
    assert(isOpen());
    if (storing_)
        return Fault{FaultCode::LibraryLocked,
                     tr("sessions are being stored; it can be changed again when they are").toStdString(),
                     path_.toStdString(),
                     {},
                     {}};
    const std::lock_guard lock(held_->mutex);
    return held_->library->setMarks(session, phases, pins);
}

template <class RowId>
std::optional<RowId> LibraryDocument::named(const QString& what,
                                            Result<RowId> (Library::*find)(std::string_view),
                                            const QString& label) {
    auto* library = writable(what);
    if (!library) return std::nullopt;
    const auto id = (library->*find)(label.toStdString());
    if (!id) {
        emit failed(what, id.fault());
        return std::nullopt;
    }
    return *id;
}

std::optional<DeviceId> LibraryDocument::device(const QString& label) {
    const auto id = named<DeviceId>(tr("device %1").arg(label), &Library::device, label);
    LibraryChange change;
    if (id && !contents_->device(*id)) change.devices.insert(*id);
    if (!change.devices.empty() && !refresh(tr("device %1").arg(label), change)) return std::nullopt;
    return id;
}

std::optional<WearerId> LibraryDocument::wearer(const QString& label) {
    const auto id = named<WearerId>(tr("wearer %1").arg(label), &Library::wearer, label);
    LibraryChange change;
    if (id && !contents_->wearer(*id)) change.wearers.insert(*id);
    if (!change.wearers.empty() && !refresh(tr("wearer %1").arg(label), change)) return std::nullopt;
    return id;
}

std::optional<ActivityId> LibraryDocument::activity(const QString& label) {
    const auto id = named<ActivityId>(tr("activity %1").arg(label), &Library::activity, label);
    LibraryChange change;
    if (id && !contents_->activity(*id)) change.activities.insert(*id);
    if (!change.activities.empty() && !refresh(tr("activity %1").arg(label), change)) return std::nullopt;
    return id;
}

std::optional<ProjectId> LibraryDocument::project(const QString& label) {
    const auto id = named<ProjectId>(tr("project %1").arg(label), &Library::project, label);
    LibraryChange change;
    if (id && !contents_->project(*id)) change.projects.insert(*id);
    if (!change.projects.empty() && !refresh(tr("project %1").arg(label), change)) return std::nullopt;
    return id;
}

void LibraryDocument::importSessions(std::vector<SessionDraft> drafts, const QString& project) {
    if (!writable(tr("import"))) return;
    import_ = std::make_shared<Import>(Import{
        std::move(drafts), project.isEmpty() ? std::string{defaultProject} : project.toStdString(), {}});
    setStoring(true);
    runner_.run(
        tr("Storing %n sessions …", nullptr, static_cast<int>(import_->drafts.size())),
        [held = held_, import = import_](const RunControl& run) {
            const std::lock_guard lock(held->mutex);
            import->outcome = held->library->addSessions(import->drafts, import->project, run);
            return 0;
        },
        [this](int) { finishImport(); });
}

void LibraryDocument::finishImport() {
    const auto import = std::exchange(import_, nullptr);
    std::unique_lock lock(held_->mutex);  // after a cancel: until the worker has rolled back
    const auto outcome = std::move(import->outcome);
    setStoring(false);
    if (!outcome || (!*outcome && outcome->fault().code == FaultCode::Cancelled)) {
        emit importStopped();
        return;
    }
    if (!*outcome) {
        emit failed(tr("import"), outcome->fault());
        return;
    }
    const auto& added = **outcome;
    auto rows = rowsOf(*held_->library, added, import->project, *contents_);
    lock.unlock();
    const QString what = tr("import of %n sessions", nullptr, static_cast<int>(added.size()));
    if (!rows) {
        emit failed(what, rows.fault());
        return;
    }
    if (!rows->after.empty())
        undo_.push(new EditLibrary(*this, what, std::move(rows->before), std::move(rows->after),
                                   EditLibrary::Stored::Already));
    if (refresh(what, everything())) emit imported(added);
}

void LibraryDocument::setStoring(bool storing) {
    storing_ = storing;
    emit storingChanged(storing);
}

Fault LibraryDocument::busy() const {
    return storing_
               ? Fault{FaultCode::LibraryLocked,
                       tr("sessions are being stored; it can be changed again when they are").toStdString(),
                       path_.toStdString(),
                       {},
                       {}}
               : Fault{FaultCode::LibraryNotOpened, tr("no library is open").toStdString(), {}, {}, {}};
}

void LibraryDocument::keepOutcomes(std::span<const StoredOutcome> outcomes) {
    if (canWrite() && !storing_ && !outcomes.empty())
        static_cast<void>(held_->library->storeOutcomes(outcomes));
}

std::vector<DeletedRow> LibraryDocument::deletedRows() {
    if (!isOpen() || storing_) return {};
    auto rows = held_->library->deletedRows();
    if (rows) return std::move(*rows);
    emit failed(tr("list of what is deleted"), rows.fault());
    return {};
}

bool LibraryDocument::purgeDeleted() {
    const QString what = tr("removal of what is deleted");
    auto* library = writable(what);
    if (!library) return false;
    if (const auto done = library->purgeDeleted(); !done) {
        emit failed(what, done.fault());
        return false;
    }
    undo_.clear();
    return refresh(what, everything());
}

}  // namespace beatwitness::app
