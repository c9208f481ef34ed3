#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/library/database.h"
#include "core/library/session_store.h"

namespace beatwitness::library {

/// Sessions that are stored together or not at all: one transaction, safe against a power cut once committed.
///
/// Made by Library::beginBatch(), which must outlive it; meanwhile nothing else may be asked of the library.
/// A batch that ends without commit(), or whose process is killed, leaves the library as it was.
class Batch {
public:
    /// Stores the session, unless the same one (findSameSession()) is there; either way it joins the project.
    /// One that joins a stored session adds the wearings that this does not have yet.
    ///
    /// Faults: NotInLibrary (the session to join), WrongUsage (a session without a name, a wearing without a
    /// device, without a recording though it is said to have recorded, a span that ends before it begins,
    /// files with and without a date in one wearing), Cancelled, those of writing. After a fault the batch is
    /// dead: only its end is left.
    [[nodiscard]] Result<AddedSession> add(const SessionDraft& draft, const RunControl& run = {});

    /// Faults: what add() returned, those of writing; the library then is as it was.
    [[nodiscard]] Result<Done> commit();

private:
    friend class Library;
    Batch(Database& database, std::string_view project);
    Fault dead(Fault fault);

    Database* database_;
    Transaction transaction_;
    RecordingWriter writer_;
    ProjectId project_;
    std::optional<Fault> failure_;
};

}  // namespace beatwitness::library
