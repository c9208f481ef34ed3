#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "core/library/database.h"
#include "core/library/particulars.h"

/// Particulars as rows. Failures stay with the database; besides those of SQLite: NotInLibrary (no such row),
/// WrongUsage (an empty name, a label that another row has).
namespace beatwitness::library {

/// What the row holds now, deleted or not; nothing where there is no such row.
[[nodiscard]] std::optional<SessionParticulars> readRow(Database& database, SessionId id);
[[nodiscard]] std::optional<WearingParticulars> readRow(Database& database, WearingId id);
[[nodiscard]] std::optional<WearerParticulars> readRow(Database& database, WearerId id);
[[nodiscard]] std::optional<DeviceParticulars> readRow(Database& database, DeviceId id);
[[nodiscard]] std::optional<ActivityParticulars> readRow(Database& database, ActivityId id);
[[nodiscard]] std::optional<ProjectParticulars> readRow(Database& database, ProjectId id);
[[nodiscard]] std::optional<PlannedParticulars> readRow(Database& database, PlannedId id);
// Criteria and comparisons: criterion_store.h, comparison_store.h.
/// The same row as it is stored now.
[[nodiscard]] std::optional<RowValue> readRow(Database& database, const RowValue& value);

void writeRow(Database& database, const RowValue& value);

/// A new row without anything in it but what must be there; to be filled by writeRow().
[[nodiscard]] WearingId insertEmptyWearing(Database& database, SessionId session, DeviceId device);
[[nodiscard]] PlannedId insertEmptyPlanned(Database& database, ProjectId project);

/// Every deleted row, the latest first. Wearings of deleted sessions are not listed: they come back with it.
[[nodiscard]] std::vector<DeletedRow> deletedRows(Database& database);

/// "session", "device", … of a row, for sentences.
[[nodiscard]] std::string_view kindOf(const AnyRowId& id);

// How the library writes these words in its columns.
[[nodiscard]] std::string_view roleName(Role role);
[[nodiscard]] Role roleOf(std::string_view name);
[[nodiscard]] std::string_view outcomeName(WearingOutcome outcome);
[[nodiscard]] std::string_view clockMethodName(ClockMethod method);
[[nodiscard]] ClockMethod clockMethodOf(std::string_view name);

}  // namespace beatwitness::library
