#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/foundation/result.h"
#include "core/library/session_draft.h"

namespace beatwitness::verbs {

/// A wearing as it is asked for, its files not yet read.
struct PlannedWearing {
    library::WearingDraft draft;     ///< without recordings
    std::vector<std::string> files;  ///< paths as they can be opened
    std::optional<Span<RecordingClock>> span;
};

struct PlannedSession {
    library::SessionDraft draft;  ///< without wearings
    std::vector<PlannedWearing> wearings;
};

/// What `add` is asked to store.
struct Manifest {
    std::string project;  ///< empty: not said
    std::vector<PlannedSession> sessions;
    std::vector<std::string> warnings;  ///< a sentence for each key that means nothing here
};

/// The manifest at `path`, beatwitness.manifest/1 of the batch contract. Relative paths in it count from its
/// own folder.
///
/// Faults: those of recording::fileBytes(); Damaged where it is not JSON (with the byte) or says something
/// that cannot be (naming the place, e.g. `sessions[2].wearings[0].role`).
[[nodiscard]] Result<Manifest> readManifest(const std::filesystem::path& path);

}  // namespace beatwitness::verbs
