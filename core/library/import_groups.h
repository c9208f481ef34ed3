#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/library/import_pieces.h"

/// The second step of an import plan: which pieces belong to one workout.
namespace beatwitness::library {

/// A piece, or the part of it that lies in the workout.
struct GroupMember {
    std::size_t piece = 0;
    std::optional<Span<RecordingClock>> cut;  ///< on the clock of the file; nothing: all of the piece
    std::string because;
};

/// One workout.
struct PieceGroup {
    std::optional<Span<RecordingClock>> core;  ///< on the UTC of most of its files; nothing without any date
    std::vector<GroupMember> members;
    std::optional<std::size_t> joins;  ///< index of a known session
    std::string because;
};

struct GroupedPieces {
    std::vector<PieceGroup> groups;     ///< by time, those without a date last
    std::vector<GroupMember> unplaced;  ///< pieces that meet nothing; `because` says why
};

/// `anchors[file]`: this file looks like a reference, so that what overlaps it belongs to its workout,
/// however long.
[[nodiscard]] GroupedPieces groupPieces(std::span<const Piece> pieces, std::span<const OfferedFile> files,
                                        const std::vector<bool>& anchors, const LibraryKnowledge& knowledge);

}  // namespace beatwitness::library
