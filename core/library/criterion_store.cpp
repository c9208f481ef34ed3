#include "core/library/criterion_store.h"

#include <fmt/format.h>

#include "core/library/library_file.h"

namespace beatwitness::library {

std::vector<StoredCriterion> criterionRows(Database& database, ProjectId project) {
    std::vector<StoredCriterion> criteria;
    auto rows = database.statement(
        "SELECT id, metric, \"limit\", sense, device, activity, confidence, set_at_us, withdrawn_at_us FROM "
        "criterion WHERE project_id = ? ORDER BY id",
        project);
    while (rows.step()) {
        const auto* facts = agreement::metricOfKey(rows.text(1));
        const auto sense = agreement::senseOf(rows.text(3));
        if (facts == nullptr || !sense) {
            database.fail(
                FaultCode::LibraryDamaged,
                fmt::format("criterion {} is on the unknown metric \"{}\"", rows.integer(0), rows.text(1)));
            return {};
        }
        const auto withdrawn = rows.maybeInteger(8);
        criteria.push_back({rows.id<CriterionId>(0),
                            {facts->metric, rows.real(2), *sense, rows.text(4), rows.text(5), rows.real(6),
                             Micros{rows.integer(7)}},
                            withdrawn ? std::optional{Micros{*withdrawn}} : std::nullopt});
    }
    return criteria;
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
            "UPDATE criterion SET withdrawn_at_us = ? WHERE id = ? AND withdrawn_at_us IS NULL RETURNING id",
            std::int64_t{now().count()}, criterion)
        .has_value();
}

}  // namespace beatwitness::library
