#include "core/recording/read_recording.h"

#include "core/recording/archive.h"
#include "core/recording/digest.h"
#include "core/recording/file_bytes.h"
#include "core/recording/fit_recording.h"
#include "core/recording/hrm_recording.h"
#include "core/recording/json_recording.h"
#include "core/recording/rr_recording.h"
#include "core/recording/text_recording.h"
#include "core/recording/xml_recording.h"

namespace beatwitness::recording {

Result<Recording> readRecording(std::span<const std::byte> bytes, const ReadOptions& options,
                                const RunControl& run) {
    if (bytes.empty())
        return Fault{FaultCode::Empty, "the file is empty; a recording was expected", {}, {}, {}};
    if (looksLikeFit(bytes)) return readFit(bytes, run);
    if (looksLikeArchive(bytes)) return readArchive(bytes, options, run);
    if (looksLikeXml(bytes)) return readXml(bytes, options, run);
    if (looksLikeJson(bytes)) return readJson(bytes, options, run);
    if (looksLikeHrm(bytes)) return readHrm(bytes, options, run);
    if (looksLikeText(bytes)) return readTableOrBeats(bytes, options, run);
    return Fault{FaultCode::UnknownFormat,
                 "the content is neither FIT, TCX, GPX, JSON nor separated text, packed or not; a recording "
                 "in one of these "
                 "was expected",
                 {},
                 0,
                 {}};
}

Result<RecordingFile> readRecordingFile(const std::filesystem::path& path, const ReadOptions& options,
                                        const RunControl& run) {
    auto bytes = fileBytes(path, run);
    if (!bytes) return bytes.fault();
    auto recording = readRecording(*bytes, options, run);
    if (!recording) {
        Fault fault = recording.fault();
        fault.file = path.string();
        return fault;
    }
    return RecordingFile{path.string(), sha256(*bytes), std::move(*recording)};
}

}  // namespace beatwitness::recording
