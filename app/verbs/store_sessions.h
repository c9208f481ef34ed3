#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "app/verbs/manifest.h"
#include "core/foundation/run_control.h"
#include "core/library/session_store.h"
#include "core/recording/recording.h"

namespace beatwitness::verbs {

struct StoredSession {
    std::string name;
    std::size_t wearings = 0;
    library::AddedSession added;
};

struct StoredSessions {
    std::string project;
    std::vector<StoredSession> sessions;
    std::vector<std::string> warnings;  ///< a sentence each
};

/// Reads the files of a manifest and stores its sessions in the library at `path`, which is made where there
/// is none: all of them or nothing, not even a library. They join `project`; empty: the manifest's, else `All
/// sessions`. One session at a time is in memory; progress goes by sessions.
///
/// Faults: those of readForLibrary(), Library::open() and Batch::add(); Cancelled.
[[nodiscard]] Result<StoredSessions> storeSessions(const std::filesystem::path& path,
                                                   const Manifest& manifest, const std::string& project = {},
                                                   const recording::ReadOptions& read = {},
                                                   const RunControl& run = {});

}  // namespace beatwitness::verbs
