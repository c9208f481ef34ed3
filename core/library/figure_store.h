#pragma once

#include <optional>
#include <vector>

#include "core/library/database.h"
#include "core/library/figure_particulars.h"

/// Figures as rows. Failures stay with the database; besides those of SQLite: NotInLibrary (no such row),
/// WrongUsage (an empty name, an unknown scale).
namespace beatwitness::library {

/// What the row holds now, deleted or not; nothing where there is no such row.
[[nodiscard]] std::optional<FigureParticulars> readRow(Database& database, FigureId id);
/// False where there is no such row.
[[nodiscard]] bool writeFigure(Database& database, FigureId id, const FigureParticulars& is);
/// A new row behind the others of its project, to be filled by writeFigure().
[[nodiscard]] FigureId insertEmptyFigure(Database& database, ProjectId project);
/// Every figure that is not deleted, by project and place.
[[nodiscard]] std::vector<FigureId> figureIds(Database& database);

}  // namespace beatwitness::library
