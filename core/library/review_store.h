#pragma once

#include <map>
#include <optional>
#include <string>

#include "core/library/database.h"
#include "core/library/ids.h"
#include "core/library/review_particulars.h"

/// Decisions on flags and passes of a review, as rows. Failures stay with the database.
namespace beatwitness::library {

/// Nothing where there is no such session. A row of a kind or verdict that this program does not know fails
/// the database as damaged.
[[nodiscard]] std::optional<SessionReview> reviewRow(Database& database, SessionId session);
/// In place of what is there. Fails the database (WrongUsage) where a decision is of a wearing of another
/// session.
void replaceReview(Database& database, SessionId session, const SessionReview& review);

/// What an analysis depends on of the reviews of one project or of all sessions: a text by session, of the
/// decisions in force. Sessions without any are left out.
[[nodiscard]] std::map<SessionId, std::string> decisionTexts(Database& database,
                                                             std::optional<ProjectId> project);

}  // namespace beatwitness::library
