#pragma once

#include <span>
#include <vector>

#include "core/library/database.h"
#include "core/library/ids.h"
#include "core/trace/phases.h"
#include "core/trace/pin.h"

/// What people marked in a session, as rows. Failures stay with the database.
namespace beatwitness::library {

/// In the order of the plan. A row of a kind that this program does not know fails the database as damaged.
[[nodiscard]] trace::PhasePlan phaseRows(Database& database, SessionId session);
/// In place of those that are there.
void replacePhases(Database& database, SessionId session, const trace::PhasePlan& phases);

/// By instant.
[[nodiscard]] std::vector<trace::Pin> pinRows(Database& database, SessionId session);
void replacePins(Database& database, SessionId session, std::span<const trace::Pin> pins);

}  // namespace beatwitness::library
