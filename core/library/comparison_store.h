#pragma once

#include <optional>
#include <vector>

#include "core/library/database.h"
#include "core/library/ids.h"
#include "core/library/particulars.h"

/// Comparisons that are kept by name. Failures stay with the database; besides those of SQLite: NotInLibrary
/// (no such row), WrongUsage (no name, or one that another comparison of the project has).
namespace beatwitness::library {

/// Of every project, by name, less what is deleted.
[[nodiscard]] std::vector<RowOf<ComparisonId, ComparisonParticulars>> allComparisons(Database& database);
/// The row, deleted or not; nothing where there is none.
[[nodiscard]] std::optional<ComparisonParticulars> readRow(Database& database, ComparisonId id);
/// `is.project` is not changed.
void writeInto(Database& database, ComparisonId id, const ComparisonParticulars& is);
[[nodiscard]] ComparisonId insertComparison(Database& database, const ComparisonParticulars& is);

}  // namespace beatwitness::library
