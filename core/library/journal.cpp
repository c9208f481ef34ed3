#include "core/library/journal.h"

#include "core/foundation/version.h"
#include "core/library/library_file.h"

namespace beatwitness::library {

void note(Database& database, std::string_view what, std::optional<SessionId> session) {
    database.run("INSERT INTO journal (at_us, program, what, session_id) VALUES (?, ?, ?, ?)", now().count(),
                 programVersion(), what, session);
}

std::vector<JournalEntry> journalEntries(Database& database) {
    std::vector<JournalEntry> entries;
    auto rows = database.statement("SELECT at_us, program, what, session_id FROM journal ORDER BY id");
    while (rows.step()) {
        const auto session = rows.maybeInteger(3);
        entries.push_back({Micros{rows.integer(0)}, rows.text(1), rows.text(2),
                           session ? std::optional{SessionId{*session}} : std::nullopt});
    }
    return entries;
}

}  // namespace beatwitness::library
