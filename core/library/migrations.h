#pragma once

#include <span>

#include "core/foundation/result.h"
#include "core/library/database.h"

namespace beatwitness::library {

/// One step of the schema, to `version`, the file's user version afterwards.
struct Migration {
    int version = 0;
    const char* sql = "";
};

/// resources/migrations, ascending from version 1 without gaps.
[[nodiscard]] std::span<const Migration> builtInMigrations();

/// Marks a file as a library of ours: "BtWn", at byte 68.
inline constexpr std::int64_t applicationId = 0x4274576E;

/// Brings the file to the last of `migrations`, all in one transaction. A file that holds something (a
/// version above 0) is copied before, to `<file>.version-<old>`; the copy stays beside it, and goes only
/// where the migration failed.
///
/// Faults: LibraryNewer where the file is beyond the last migration; as for writing; LibraryDamaged where a
/// step does not go through. After a fault the file is as it was.
[[nodiscard]] Result<Done> migrate(Database& database, std::span<const Migration> migrations);

}  // namespace beatwitness::library
