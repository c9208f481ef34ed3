#pragma once

#include <optional>
#include <vector>

#include "core/agreement/criterion.h"
#include "core/library/database.h"
#include "core/library/ids.h"

/// Criteria of projects. Failures stay with the database.
namespace beatwitness::library {

using CriterionId = Id<struct CriterionRowTag>;

/// `criterion.setAt` is there in all that is stored.
struct StoredCriterion {
    CriterionId id;
    agreement::Criterion criterion;
    std::optional<Micros> withdrawnAt;  ///< since 1970
};

/// In the order of adding, the withdrawn among them. A metric that this program does not know fails the
/// database as damaged.
[[nodiscard]] std::vector<StoredCriterion> criterionRows(Database& database, ProjectId project);
/// `criterion.setAt` or else now.
CriterionId insertCriterion(Database& database, ProjectId project, const agreement::Criterion& criterion);
/// False where there is none, or it was withdrawn before.
bool withdrawCriterion(Database& database, CriterionId criterion);

}  // namespace beatwitness::library
