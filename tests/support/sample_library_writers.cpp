#include "tests/support/sample_library_writers.h"

#include <utility>

#include "tests/support/archive_writer.h"

namespace beatwitness::tests {

namespace {

using Rows = std::span<const RecordingTime>;

std::vector<std::byte> bytesOf(std::string_view text) {
    const auto bytes = std::as_bytes(std::span{text.data(), text.size()});
    return {bytes.begin(), bytes.end()};
}

}  // namespace

SampleWriter plainFit() {
    return [](const auto& recording, Rows empty) { return writeFit(recording, empty); };
}

SampleWriter workoutFit(FitSport sport) {
    return [sport](const auto& recording, Rows empty) { return writeWorkoutFit(recording, sport, empty); };
}

SampleWriter tcx() {
    return [](const auto& recording, Rows empty) { return bytesOf(writeTcx(recording, empty)); };
}

SampleWriter gpx() {
    return [](const auto& recording, Rows empty) { return bytesOf(writeGpx(recording, empty)); };
}

SampleWriter csv(CsvDialect dialect) {
    return [dialect](const auto& recording, Rows) { return bytesOf(writeCsv(recording, dialect)); };
}

SampleWriter json(JsonLayout layout) {
    return
        [layout](const auto& recording, Rows empty) { return bytesOf(writeJson(recording, layout, empty)); };
}

SampleWriter rr(RrLayout layout) {
    return [layout](const auto& recording, Rows) { return bytesOf(writeRr(recording, layout)); };
}

SampleWriter sections() {
    return [](const auto& recording, Rows empty) { return bytesOf(writeSections(recording, empty)); };
}

SampleWriter intervalSections() {
    return [](const auto& recording, Rows) { return bytesOf(writeIntervalSections(recording)); };
}

SampleWriter gzipped(std::string name, SampleWriter writer) {
    return [name = std::move(name), writer = std::move(writer)](const auto& recording, Rows empty) {
        return writeGzip(name, writer(recording, empty));
    };
}

SampleWriter zipped(std::string name, SampleWriter writer) {
    return [name = std::move(name), writer = std::move(writer)](const auto& recording, Rows empty) {
        const ZippedFile file{name, writer(recording, empty)};
        return writeZip({&file, 1});
    };
}

}  // namespace beatwitness::tests
