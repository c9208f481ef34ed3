#include "core/library/edition_store.h"

#include <fmt/format.h>

namespace beatwitness::library {
namespace {

constexpr std::string_view columns =
    "id, label, frozen_at_us, program, analysis_version, question, criteria, settings, decisions, data";

Edition editionAt(const Statement& row) {
    return {row.text(1), Micros{row.integer(2)},
            row.text(3), static_cast<int>(row.integer(4)),
            row.text(5), row.text(6),
            row.text(7), row.text(8),
            row.text(9), {}};
}

}  // namespace

std::vector<Edition> editionRows(Database& database, ProjectId project) {
    std::vector<Edition> editions;
    auto rows = database.statement(
        fmt::format("SELECT {} FROM edition WHERE project_id = ? ORDER BY frozen_at_us, id", columns),
        project);
    while (rows.step())
        editions.push_back(editionAt(rows));
    return editions;
}

std::optional<Edition> editionRow(Database& database, ProjectId project, std::string_view label) {
    auto row = database.statement(
        fmt::format("SELECT {} FROM edition WHERE project_id = ? AND label = ?", columns), project, label);
    if (!row.step()) return std::nullopt;
    auto edition = editionAt(row);
    auto numbers = database.statement(
        "SELECT \"key\", \"value\" FROM edition_number WHERE edition_id = ? ORDER BY \"key\"",
        row.integer(0));
    while (numbers.step())
        edition.numbers.push_back({numbers.text(0), numbers.maybeReal(1)});
    return edition;
}

void insertEdition(Database& database, ProjectId project, const Edition& edition) {
    if (editionRow(database, project, edition.label)) {
        database.fail(
            FaultCode::WrongUsage,
            fmt::format("the project has an edition \"{}\" already; what is frozen stays as it is, so "
                        "another label was expected",
                        edition.label));
        return;
    }
    database.run(
        "INSERT INTO edition (project_id, label, frozen_at_us, program, analysis_version, question, "
        "criteria, "
        "settings, decisions, data) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        project, edition.label, std::int64_t{edition.frozenAt.count()}, edition.program,
        std::int64_t{edition.analysisVersion}, edition.question, edition.criteria, edition.settings,
        edition.decisions, edition.data);
    const auto id = database.lastInsertId();
    for (const auto& [key, value] : edition.numbers)
        database.run("INSERT INTO edition_number (edition_id, \"key\", \"value\") VALUES (?, ?, ?)", id, key,
                     value);
}

}  // namespace beatwitness::library
