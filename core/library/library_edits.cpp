// What changes the particulars of rows, and what shows them.
#include <fmt/format.h>

#include <system_error>
#include <utility>

#include "core/library/figure_store.h"
#include "core/library/library.h"
#include "core/library/particulars_store.h"
#include "core/library/review_store.h"

namespace beatwitness::library {
namespace {

Fault notThere(const std::filesystem::path& library, const AnyRowId& id) {
    const auto number = std::visit([](const auto& row) { return row.value; }, id);
    return {FaultCode::NotInLibrary,
            fmt::format("the library has no {} {}", kindOf(id), number),
            library.string(),
            {},
            {}};
}

std::vector<Membership> allMemberships(Database& database) {
    std::vector<Membership> list;
    auto rows = database.statement(
        "SELECT project_id, session_id FROM project_session ORDER BY project_id, session_id");
    while (rows.step())
        list.push_back({rows.id<ProjectId>(0), rows.id<SessionId>(1), true});
    return list;
}

std::vector<RowOf<PlannedId, PlannedParticulars>> allPlanned(Database& database) {
    std::vector<PlannedId> ids;
    {
        auto rows =
            database.statement("SELECT id FROM planned_session WHERE deleted_at_us IS NULL ORDER BY id");
        while (rows.step())
            ids.push_back(rows.id<PlannedId>(0));
    }
    std::vector<RowOf<PlannedId, PlannedParticulars>> plan;
    for (const auto id : ids)
        if (auto planned = readRow(database, id)) plan.push_back({id, std::move(*planned)});
    return plan;
}

}  // namespace

template <class RowId>
auto Library::particularsOf(RowId id) {
    auto found = readRow(file_.database(), id);
    using Particulars = typename decltype(found)::value_type;
    if (auto done = file_.database().outcome(); !done) return Result<Particulars>{done.fault()};
    if (!found) return Result<Particulars>{notThere(path(), id)};
    return Result<Particulars>{std::move(*found)};
}

Result<SessionParticulars> Library::particulars(SessionId session) {
    return particularsOf(session);
}
Result<WearingParticulars> Library::particulars(WearingId wearing) {
    return particularsOf(wearing);
}
Result<WearerParticulars> Library::particulars(WearerId wearer) {
    return particularsOf(wearer);
}
Result<DeviceParticulars> Library::particulars(DeviceId device) {
    return particularsOf(device);
}
Result<ActivityParticulars> Library::particulars(ActivityId activity) {
    return particularsOf(activity);
}
Result<ProjectParticulars> Library::particulars(ProjectId project) {
    return particularsOf(project);
}
Result<PlannedParticulars> Library::particulars(PlannedId planned) {
    return particularsOf(planned);
}

Result<FigureParticulars> Library::particulars(FigureId figure) {
    return particularsOf(figure);
}
Result<CriterionParticulars> Library::particulars(CriterionId criterion) {
    return particularsOf(criterion);
}
Result<ComparisonParticulars> Library::particulars(ComparisonId comparison) {
    return particularsOf(comparison);
}

Result<SessionReview> Library::review(SessionId session) {
    auto found = reviewRow(file_.database(), session);
    if (auto done = file_.database().outcome(); !done) return done.fault();
    if (!found) return notThere(path(), session);
    return std::move(*found);
}

Result<std::vector<RowValue>> Library::stored(std::span<const RowValue> values) {
    auto& database = file_.database();
    std::vector<RowValue> now;
    for (const auto& value : values) {
        auto row = readRow(database, value);
        if (auto done = database.outcome(); !done) return done.fault();
        if (!row)
            return Fault{FaultCode::NotInLibrary,
                         "the library no longer has what was to be changed",
                         path().string(),
                         {},
                         {}};
        now.push_back(std::move(*row));
    }
    return now;
}

Result<Done> Library::write(std::span<const RowValue> values, std::string_view what) {
    if (readOnlyBecause()) return *readOnlyBecause();
    auto& database = file_.database();
    Transaction transaction{database, Durability::Normal};
    std::optional<SessionId> session;
    for (const auto& value : values) {
        writeRow(database, value);
        if (const auto* row = std::get_if<RowOf<SessionId, SessionParticulars>>(&value)) session = row->id;
        if (const auto* row = std::get_if<RowOf<SessionId, SessionReview>>(&value)) session = row->id;
    }
    note(database, what, values.size() == 1 ? session : std::nullopt);
    return transaction.commit();
}

Result<WearingId> Library::addWearing(SessionId session, const WearingParticulars& wearing) {
    if (readOnlyBecause()) return *readOnlyBecause();
    auto& database = file_.database();
    Transaction transaction{database, Durability::Normal};
    const auto id = insertEmptyWearing(database, session, wearing.device);
    writeRow(database, RowOf<WearingId, WearingParticulars>{id, wearing});
    note(database, "wearing added", session);
    if (auto done = transaction.commit(); !done) return done.fault();
    return id;
}

Result<PlannedId> Library::addPlanned(const PlannedParticulars& planned) {
    if (readOnlyBecause()) return *readOnlyBecause();
    auto& database = file_.database();
    Transaction transaction{database, Durability::Normal};
    const auto id = insertEmptyPlanned(database, planned.project);
    writeRow(database, RowOf<PlannedId, PlannedParticulars>{id, planned});
    note(database, fmt::format("session \"{}\" planned", planned.name), std::nullopt);
    if (auto done = transaction.commit(); !done) return done.fault();
    return id;
}

Result<ComparisonId> Library::addComparison(const ComparisonParticulars& comparison) {
    if (readOnlyBecause()) return *readOnlyBecause();
    auto& database = file_.database();
    Transaction transaction{database, Durability::Normal};
    const auto id = insertComparison(database, comparison);
    note(database, fmt::format("comparison \"{}\" kept", comparison.label), std::nullopt);
    if (auto done = transaction.commit(); !done) return done.fault();
    return id;
}

Result<std::vector<RowOf<CriterionId, CriterionParticulars>>> Library::allCriteria() {
    auto found = library::allCriteria(file_.database());
    if (auto done = file_.database().outcome(); !done) return done.fault();
    return found;
}

Result<std::vector<RowOf<ComparisonId, ComparisonParticulars>>> Library::allComparisons() {
    auto found = library::allComparisons(file_.database());
    if (auto done = file_.database().outcome(); !done) return done.fault();
    return found;
}

Result<std::vector<RowOf<PlannedId, PlannedParticulars>>> Library::plan() {
    auto found = allPlanned(file_.database());
    if (auto done = file_.database().outcome(); !done) return done.fault();
    return found;
}

Result<FigureId> Library::addFigure(const FigureParticulars& figure) {
    if (readOnlyBecause()) return *readOnlyBecause();
    auto& database = file_.database();
    Transaction transaction{database, Durability::Normal};
    const auto id = insertEmptyFigure(database, figure.project);
    auto is = figure;
    is.place = static_cast<int>(database.number("SELECT place FROM figure WHERE id = ?", id).value_or(0));
    writeRow(database, RowOf<FigureId, FigureParticulars>{id, std::move(is)});
    note(database, fmt::format("figure \"{}\" added", figure.name), std::nullopt);
    if (auto done = transaction.commit(); !done) return done.fault();
    return id;
}

Result<std::vector<RowOf<FigureId, FigureParticulars>>> Library::figures() {
    auto& database = file_.database();
    std::vector<RowOf<FigureId, FigureParticulars>> found;
    for (const auto id : figureIds(database))
        if (auto figure = readRow(database, id)) found.push_back({id, std::move(*figure)});
    if (auto done = database.outcome(); !done) return done.fault();
    return found;
}

Result<std::vector<Membership>> Library::memberships() {
    auto found = allMemberships(file_.database());
    if (auto done = file_.database().outcome(); !done) return done.fault();
    return found;
}

Result<std::vector<DeletedRow>> Library::deletedRows() {
    auto found = library::deletedRows(file_.database());
    if (auto done = file_.database().outcome(); !done) return done.fault();
    return found;
}

Result<Done> Library::saveCopy(const std::filesystem::path& copy) {
    namespace fs = std::filesystem;
    std::error_code error;
    if (fs::equivalent(copy, path(), error))
        return Fault{FaultCode::WrongUsage,
                     "a copy cannot take the place of the library that is open",
                     copy.string(),
                     {},
                     {}};
    fs::path part = copy;
    part += ".part";
    fs::remove(part, error);
    auto& database = file_.database();
    database.run("VACUUM INTO ?", part.string());
    auto done = database.outcome();
    if (done) {
        fs::rename(part, copy, error);
        if (!error) return Done{};
        done = Fault{FaultCode::NotWritable,
                     fmt::format("the copy could not be put in its place ({})", error.message()),
                     copy.string(),
                     {},
                     {}};
    }
    fs::remove(part, error);
    return done;
}

}  // namespace beatwitness::library
