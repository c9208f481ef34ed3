#include "core/library/comparison_store.h"

#include <fmt/format.h>

#include "core/foundation/text.h"
#include "core/library/library_file.h"

namespace beatwitness::library {
namespace {

constexpr std::string_view columns = "id, project_id, label, a, b, choices, deleted_at_us";

ComparisonParticulars comparisonAt(const Statement& row) {
    return {row.id<ProjectId>(1), row.text(2), row.text(3), row.text(4), row.text(5), !row.isNull(6)};
}

}  // namespace

std::vector<RowOf<ComparisonId, ComparisonParticulars>> allComparisons(Database& database) {
    std::vector<RowOf<ComparisonId, ComparisonParticulars>> all;
    auto rows = database.statement(fmt::format(
        "SELECT {} FROM comparison WHERE deleted_at_us IS NULL ORDER BY project_id, label, id", columns));
    while (rows.step())
        all.push_back({rows.id<ComparisonId>(0), comparisonAt(rows)});
    return all;
}

std::optional<ComparisonParticulars> readRow(Database& database, ComparisonId id) {
    auto row = database.statement(fmt::format("SELECT {} FROM comparison WHERE id = ?", columns), id);
    if (!row.step()) return std::nullopt;
    return comparisonAt(row);
}

void writeInto(Database& database, ComparisonId id, const ComparisonParticulars& is) {
    if (is.label.empty())
        return database.fail(FaultCode::WrongUsage, "a comparison needs a name; nothing was changed");
    const auto other = database.number(
        "SELECT id FROM comparison WHERE project_id = (SELECT project_id FROM comparison WHERE id = ?) AND "
        "label = ? AND id <> ? AND deleted_at_us IS NULL",
        id, is.label, id);
    if (other && !is.deleted)
        return database.fail(
            FaultCode::WrongUsage,
            fmt::format("there is another comparison called \"{}\" already; nothing was changed",
                        printable(is.label)));
    const bool found =
        database
            .number(
                "UPDATE comparison SET label = ?, a = ?, b = ?, choices = ?, deleted_at_us = CASE WHEN ? "
                "THEN coalesce(deleted_at_us, ?) END WHERE id = ? RETURNING id",
                is.label, is.a, is.b, is.choices, std::int64_t{is.deleted ? 1 : 0},
                std::int64_t{now().count()}, id)
            .has_value();
    if (!found && !database.failed())
        database.fail(FaultCode::NotInLibrary,
                      fmt::format("the library has no comparison {}; nothing was changed", id.value));
}

ComparisonId insertComparison(Database& database, const ComparisonParticulars& is) {
    database.run("INSERT INTO comparison (project_id, label, a, b, added_at_us) VALUES (?, '', '', '', ?)",
                 is.project, std::int64_t{now().count()});
    const ComparisonId id{database.lastInsertId()};
    writeInto(database, id, is);
    return id;
}

}  // namespace beatwitness::library
