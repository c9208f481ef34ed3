#pragma once

#include <optional>
#include <vector>

#include "core/agreement/criterion.h"
#include "core/library/database.h"
#include "core/library/ids.h"
#include "core/library/particulars.h"

/// Criteria of projects. Failures stay with the database.
namespace beatwitness::library {

/// `criterion.setAt` is there in all that is stored.
struct StoredCriterion {
    CriterionId id;
    agreement::Criterion criterion;
    std::optional<Micros> withdrawnAt;  ///< since 1970
};

/// In the order of adding, the withdrawn among them, less those whose setting was undone. A metric that this
/// program does not know fails the database as damaged.
[[nodiscard]] std::vector<StoredCriterion> criterionRows(Database& database, ProjectId project);
/// `criterion.setAt` or else now.
CriterionId insertCriterion(Database& database, ProjectId project, const agreement::Criterion& criterion);
/// False where there is none, or it was withdrawn before.
bool withdrawCriterion(Database& database, CriterionId criterion);

/// The row, undone or not; nothing where there is none.
[[nodiscard]] std::optional<CriterionParticulars> readRow(Database& database, CriterionId id);
/// Withdrawing and undoing alone: what was required, and when, stays as it was set.
void writeInto(Database& database, CriterionId id, const CriterionParticulars& is);
/// Of every project, in the order of adding, less those whose setting was undone.
[[nodiscard]] std::vector<RowOf<CriterionId, CriterionParticulars>> allCriteria(Database& database);

}  // namespace beatwitness::library
