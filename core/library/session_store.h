#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/library/recording_store.h"
#include "core/library/session_draft.h"
#include "core/library/session_rows.h"

/// Sessions, wearings and what they draw from, as rows. Failures stay with the database.
namespace beatwitness::library {

/// What became of a session that was to be added.
struct AddedSession {
    SessionId id;
    bool isNew = true;                       ///< false: the same session was there already
    std::vector<std::string> alreadyStored;  ///< files, as named, whose bytes the library had
    std::vector<std::string> readOtherwise;  ///< those of them that were read in another way than now; the
                                             ///< reading that stands is the stored one
    bool joined = false;                     ///< the wearings were added to a session that was there
    std::vector<WearingId> wearings;  ///< those that were stored by this call, in the order of the draft
};

/// A session of the same name, activity and wearer, whose wearings have the same roles, devices, outcomes and
/// draw from the same bytes. Particulars such as the firmware are not looked at.
[[nodiscard]] std::optional<SessionId> findSameSession(Database& database, const SessionDraft& draft);

[[nodiscard]] AddedSession insertSession(Database& database, RecordingWriter& writer,
                                         const SessionDraft& draft);

/// The wearings of `draft` that the session does not have, stored behind its own. `isNew` where there was
/// one. Requires: `session` is there.
[[nodiscard]] AddedSession addToSession(Database& database, RecordingWriter& writer, SessionId session,
                                        const SessionDraft& draft);

void joinProject(Database& database, ProjectId project, SessionId session);

/// The sessions of a project, or all, less the deleted ones, with their wearings: by start, those without one
/// last, then in the order of adding. Two queries, whatever their number.
[[nodiscard]] std::vector<SessionRow> sessionRows(Database& database, std::optional<ProjectId> project);

/// Nothing where there is no such session, or it is deleted.
[[nodiscard]] std::optional<SessionRow> sessionRow(Database& database, SessionId session);

}  // namespace beatwitness::library
