#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/recording/recording.h"

namespace beatwitness::recording {

/// The beginning of a table, as people look at it to say how it is to be read.
struct TextPeek {
    std::string separator;             ///< "comma", "semicolon", …
    std::vector<std::string> columns;  ///< the header word of each, or "column 3" where it has none
    std::vector<std::vector<std::string>>
        rows;  ///< the first ones of data, each with a cell for every column
};

/// The beginning of the text in `bytes`, parted at `separator` or as a reader would guess. Nothing where the
/// bytes are no text or no table: a FIT file, an archive, XML. Reads 256 KiB at most.
[[nodiscard]] std::optional<TextPeek> peekText(std::span<const std::byte> bytes,
                                               std::optional<char> separator = {});

}  // namespace beatwitness::recording
