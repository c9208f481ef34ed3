#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "core/library/column_codec.h"
#include "core/library/database.h"
#include "core/library/ids.h"
#include "core/library/read_file.h"
#include "core/library/session_rows.h"

/// Recordings as rows and blobs. One row a file: the same bytes are stored once.
namespace beatwitness::library {

/// What writing recordings keeps from one to the next.
struct RecordingWriter {
    ColumnEncoder columns;
    FramePacker originals;
};

[[nodiscard]] std::optional<RecordingId> findRecording(Database& database, std::string_view sha256);

/// Requires: findRecording() found none.
RecordingId insertRecording(Database& database, RecordingWriter& writer, const ReadFile& file);

/// What to do with another reading of bytes that are stored already: where it says the same, nothing; where
/// it differs (other options, a newer reader) it takes the place of the stored one, unless a wearing that is
/// not deleted draws from that. False where the stored reading stands and differs.
[[nodiscard]] bool takeReading(Database& database, RecordingWriter& writer, RecordingId id,
                               const ReadFile& file);

/// As it was when it was stored: channels, laps, pauses, warnings, guesses. Damaged blobs fail the database.
/// Nothing where there is no such recording.
[[nodiscard]] std::optional<recording::RecordingFile> loadRecordingRow(Database& database,
                                                                       ColumnDecoder& columns,
                                                                       RecordingId id);

/// Every recording, in the order of storing. Those of a library from before spans were kept are decoded for
/// theirs.
[[nodiscard]] std::vector<StoredFile> storedFiles(Database& database, ColumnDecoder& columns);

/// The bytes of the file. Nothing where they are not there; damaged ones fail the database.
[[nodiscard]] std::optional<std::vector<std::byte>> loadOriginal(Database& database, RecordingId id);

}  // namespace beatwitness::library
