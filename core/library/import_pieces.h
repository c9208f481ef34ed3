#pragma once

#include <optional>
#include <span>
#include <vector>

#include "core/library/import_plan.h"

/// The first step of an import plan: what of each file is new.
namespace beatwitness::library {

/// A stretch of an offered file that can belong to a session.
struct Piece {
    std::size_t file = 0;
    Span<RecordingClock> span;  ///< on the clock of the file
    bool isWhole = true;        ///< the file holds nothing else that is valid
};

struct NewPieces {
    std::vector<Piece> pieces;  ///< file by file, in the order of time
    std::vector<FileVerdict> verdicts;
};

/// Parts the files where their valid heart rates are half an hour apart, and leaves out what is stored,
/// offered twice or stands in a longer offered file. Files without heart rate give one piece from the first
/// to the last value of any channel.
[[nodiscard]] NewPieces newPieces(std::span<const OfferedFile> files, const LibraryKnowledge& knowledge);

}  // namespace beatwitness::library
