#pragma once

#include <filesystem>
#include <memory>
#include <vector>

#include "app/document/import_board.h"
#include "core/foundation/run_control.h"

namespace beatwitness::app {

struct ReadImport {
    std::shared_ptr<const ImportSource> source;
    library::ImportPlan plan;
};

/// Reads every file and what the library at `library` knows (nothing where the path is empty), and proposes.
///
/// A file that cannot be read is told and does not stop the others. For a worker: takes some 3 ms a file.
/// Faults: Cancelled; those of opening and reading the library.
[[nodiscard]] Result<ReadImport> readImport(const std::vector<std::filesystem::path>& files,
                                            const std::filesystem::path& library, const RunControl& run);

/// The same with file `index` of `source` read anew as `options` say, and everything proposed again.
/// Faults: also those of reading the file.
[[nodiscard]] Result<ReadImport> readAnew(const ImportSource& source, std::size_t index,
                                          const recording::ReadOptions& options, const RunControl& run);
/// The same with a file that could not be read before.
[[nodiscard]] Result<ReadImport> readAnewUnread(const ImportSource& source, std::size_t unread,
                                                const recording::ReadOptions& options, const RunControl& run);

}  // namespace beatwitness::app
