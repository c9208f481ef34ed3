#include "core/library/criterion_store.h"

#include <fmt/format.h>

#include "core/library/library_file.h"

namespace beatwitness::library {

namespace {

constexpr std::string_view columns =
    "id, project_id, metric, \"limit\", sense, device, activity, confidence, set_at_us, withdrawn_at_us, "
    "deleted_at_us";

using Row = RowOf<CriterionId, CriterionParticulars>;

/// A metric that this program does not know fails the database.
std::optional<Row> criterionAt(Database& database, const Statement& row) {
    const auto* facts = agreement::metricOfKey(row.text(2));
    const auto sense = agreement::senseOf(row.text(4));
    if (facts == nullptr || !sense) {
        database.fail(FaultCode::LibraryDamaged, fmt::format("criterion {} is on the unknown metric \"{}\"",
                                                             row.integer(0), row.text(2)));
        return std::nullopt;
    }
    const auto withdrawn = row.maybeInteger(9);
    return Row{
        row.id<CriterionId>(0),
        {row.id<ProjectId>(1),
         {facts->metric, row.real(3), *sense, row.text(5), row.text(6), row.real(7), Micros{row.integer(8)}},
         withdrawn ? std::optional{Micros{*withdrawn}} : std::nullopt,
         !row.isNull(10)}};
}

std::vector<Row> criteriaAt(Database& database, Statement rows) {
    std::vector<Row> criteria;
    while (rows.step()) {
        auto row = criterionAt(database, rows);
        if (!row) return {};
        criteria.push_back(std::move(*row));
    }
    return criteria;
}

}  // namespace

std::vector<StoredCriterion> criterionRows(Database& database, ProjectId project) {
    std::vector<StoredCriterion> criteria;
    for (auto& [id, is] : criteriaAt(
             database, database.statement(fmt::format("SELECT {} FROM criterion WHERE project_id = ? AND "
                                                      "deleted_at_us IS NULL ORDER BY id",
                                                      columns),
                                          project)))
        criteria.push_back({id, std::move(is.criterion), is.withdrawnAt});
    return criteria;
}

std::vector<Row> allCriteria(Database& database) {
    return criteriaAt(database,
                      database.statement(fmt::format(
                          "SELECT {} FROM criterion WHERE deleted_at_us IS NULL ORDER BY id", columns)));
}

std::optional<CriterionParticulars> readRow(Database& database, CriterionId id) {
    auto row = database.statement(fmt::format("SELECT {} FROM criterion WHERE id = ?", columns), id);
    if (!row.step()) return std::nullopt;
    auto found = criterionAt(database, row);
    if (!found) return std::nullopt;
    return std::move(found->is);
}

void writeInto(Database& database, CriterionId id, const CriterionParticulars& is) {
    const auto withdrawn =
        is.withdrawnAt ? std::optional{std::int64_t{is.withdrawnAt->count()}} : std::nullopt;
    const bool found = database
                           .number(
                               "UPDATE criterion SET withdrawn_at_us = ?, deleted_at_us = CASE WHEN ? THEN "
                               "coalesce(deleted_at_us, ?) END WHERE id = ? RETURNING id",
                               withdrawn, std::int64_t{is.deleted ? 1 : 0}, std::int64_t{now().count()}, id)
                           .has_value();
    if (!found && !database.failed())
        database.fail(FaultCode::NotInLibrary,
                      fmt::format("the library has no criterion {}; nothing was changed", id.value));
}

CriterionId insertCriterion(Database& database, ProjectId project, const agreement::Criterion& criterion) {
    database.run(
        "INSERT INTO criterion (project_id, metric, \"limit\", sense, device, activity, confidence, "
        "set_at_us) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        project, agreement::factsOf(criterion.metric).key, criterion.limit,
        agreement::senseName(criterion.sense), criterion.device, criterion.activity, criterion.confidence,
        std::int64_t{criterion.setAt.value_or(now()).count()});
    return CriterionId{database.lastInsertId()};
}

bool withdrawCriterion(Database& database, CriterionId criterion) {
    return database
        .number(
            "UPDATE criterion SET withdrawn_at_us = ? WHERE id = ? AND withdrawn_at_us IS NULL AND "
            "deleted_at_us IS NULL RETURNING id",
            std::int64_t{now().count()}, criterion)
        .has_value();
}

}  // namespace beatwitness::library
