#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/library/library_knowledge.h"
#include "core/library/offered_file.h"
#include "core/library/session_draft.h"

namespace beatwitness::library {

/// A part of an offered file.
struct ProposedRecording {
    std::size_t file = 0;                      ///< index among the offered files
    std::optional<Span<RecordingClock>> span;  ///< on the clock of the file; nothing: all of it
};

struct ProposedWearing {
    Role role = Role::Test;
    std::string device;
    WearingFacts facts;
    WearingOutcome outcome = WearingOutcome::Recorded;
    std::string reason;  ///< why it failed
    std::vector<ProposedRecording> recordings;
    std::string because;  ///< why this role, device and session
};

struct ProposedSession {
    std::string name, activity, wearer, note;
    std::optional<SessionId> joins;  ///< a stored session that gets the wearings
    std::string because;
    std::vector<ProposedWearing> wearings;  ///< the first reference scores the tests
};

enum class FileState {
    New,
    PartlyNew,       ///< some of it is stored, or stands in a longer export; the rest is proposed
    AlreadyStored,   ///< the same bytes, or the same samples
    InLongerExport,  ///< the same samples stand in a longer file
    OfferedTwice,    ///< the same bytes as a file before it
    NothingToTake,   ///< neither heart rate nor another channel
};

struct FileVerdict {
    FileState state = FileState::New;
    std::string because;  ///< one sentence, empty for New
};

/// What to do with a heap of files: a guess, every part of which the user can correct.
struct ImportPlan {
    std::vector<ProposedSession> sessions;  ///< by time, those without a date last
    std::vector<ProposedWearing> unplaced;  ///< recordings that belong to no session yet; `because` says why
    std::vector<FileVerdict> files;         ///< one for each offered file
};

/// Proposes sessions for `files`.
///
/// What is stored already, or stands in a longer file, is skipped; of an export that reaches further than
/// what is stored only the new part is taken. Files that overlap in time make a session; one that spans
/// several workouts gives a part to each; one that overlaps a stored session joins it. Times without a zone
/// are tried at whole and half hours; files without a date go by name and length. Role, device, unit,
/// firmware, position, activity and wearer come from the file, else from what the library knows.
///
/// A pure function of its arguments. A thousand files against 10,000 sessions take some 50 ms.
[[nodiscard]] ImportPlan proposeImport(std::span<const OfferedFile> files, const LibraryKnowledge& knowledge);

/// What the plan stores, in its order. `files` are those that it was made for.
[[nodiscard]] std::vector<SessionDraft> draftsOf(std::span<const ProposedSession> sessions,
                                                 std::span<const OfferedFile> files);

}  // namespace beatwitness::library
