#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

namespace beatwitness::recording::text {

/// Text as bytes of UTF-8 (or of any code page that contains ASCII), without byte-order mark.
///
/// `view` shows into the file's bytes, or into `converted` where they had to be converted: keep both alive.
struct DecodedText {
    std::string converted;
    std::string_view view() const { return isConverted ? std::string_view{converted} : original; }

    std::string_view original;
    bool isConverted = false;
    std::string encoding = "UTF-8";  ///< as a person names it
};

/// True where the bytes begin like text: a byte-order mark, UTF-16 by its pattern of zeros, or no NUL and few
/// control characters among the first 1024.
[[nodiscard]] bool beginsLikeText(std::span<const std::byte> bytes);

/// Strips a UTF-8 mark, converts UTF-16 of either byte order. What is broken in it becomes "?". Linear.
[[nodiscard]] DecodedText decodeText(std::span<const std::byte> bytes);

}  // namespace beatwitness::recording::text
