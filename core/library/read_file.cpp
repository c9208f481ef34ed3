#include "core/library/read_file.h"

#include <utility>

#include "core/recording/digest.h"
#include "core/recording/file_bytes.h"

namespace beatwitness::library {

Result<std::shared_ptr<const ReadFile>> readForLibrary(const std::filesystem::path& path,
                                                       const recording::ReadOptions& options,
                                                       const RunControl& run) {
    auto bytes = recording::fileBytes(path, run);
    if (!bytes) return bytes.fault();
    auto read = recording::readRecording(*bytes, options, run);
    if (!read) {
        Fault fault = read.fault();
        fault.file = path.string();
        return fault;
    }
    recording::RecordingFile file{path.string(), recording::sha256(*bytes), std::move(*read)};
    return std::make_shared<const ReadFile>(ReadFile{std::move(file), std::move(*bytes)});
}

}  // namespace beatwitness::library
