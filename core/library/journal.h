#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/library/database.h"
#include "core/library/ids.h"

/// What changed when.
namespace beatwitness::library {

struct JournalEntry {
    Micros at{0};         ///< since 1970
    std::string program;  ///< name and version
    std::string what;
    std::optional<SessionId> session;
};

void note(Database& database, std::string_view what, std::optional<SessionId> session);

/// In the order of happening.
[[nodiscard]] std::vector<JournalEntry> journalEntries(Database& database);

}  // namespace beatwitness::library
