#pragma once

#include <cstddef>

namespace beatwitness::recording {

/// How many values, each beside its time (16 bytes), a file of `fileBytes` bytes may give.
///
/// Keeps memory within four times the file and 64 MiB, the file's own bytes and some working memory included.
/// No recording comes near: the smallest file that does holds 36 days of heart rates, one a second. What lies
/// beyond is left out with a warning.
[[nodiscard]] constexpr std::size_t mostValues(std::size_t fileBytes) {
    constexpr std::size_t free = std::size_t{48} << 20, perValue = 16;
    return (3 * fileBytes + free) / perValue;
}

}  // namespace beatwitness::recording
