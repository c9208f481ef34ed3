#pragma once

#include <QDir>
#include <filesystem>
#include <functional>
#include <optional>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"

namespace beatwitness::widgets {
class TaskRunner;
}

/// The sample sessions that come with the program, and the library that is made of them.
namespace beatwitness::app {

/// Where they lie: beside the installed program, else where it was built. Nothing where they are in neither.
[[nodiscard]] std::optional<QDir> sampleFolder();

/// The library of the sessions in `samples` (a folder with a manifest.json), kept under `dataFolder`: made at
/// the first call, afterwards the same one, with all that was done in it. Where the sessions are no longer
/// the same, a new one is made beside it; the old one stays.
///
/// It appears whole or not at all. The first call takes some 0.2 s, later ones 10 ms.
/// Faults: those of readManifest() and storeSessions(); LibraryFailed where the folder cannot be made;
/// Cancelled.
[[nodiscard]] Result<std::filesystem::path> sampleLibrary(const std::filesystem::path& samples,
                                                          const std::filesystem::path& dataFolder,
                                                          const RunControl& run = {});

/// The same for the sessions of this program and the user's data folder, on the runner's worker with progress
/// and cancel. `done` gets the path, to be opened like any library, or the fault, on the GUI thread; nothing
/// is called where the run is cancelled. Fault besides: NotFound.
void openSampleLibrary(widgets::TaskRunner& runner,
                       std::function<void(const Result<std::filesystem::path>&)> done);

}  // namespace beatwitness::app
