#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/foundation/run_control.h"
#include "core/recording/fit_decoder.h"

namespace beatwitness::recording {

/// Something that is not as it should be, and where.
struct FitDamage {
    std::uint64_t byte = 0;
    std::string what;  ///< "expected …, found …", without the place

    [[nodiscard]] std::string sentence() const;
};

/// What came of a walk through a file.
struct FitWalk {
    std::size_t dataMessages = 0;
    std::vector<FitDamage> damage;  ///< in the order met; at most one for the same bytes
    bool cancelled = false;
};

/// True where a header stands at `at`, whole or with a damaged first byte: its mark `.FIT` is in place.
[[nodiscard]] bool fitMarkAt(std::span<const std::byte> file, std::size_t at);

/// Walks through all parts of a FIT file and hands every data message to `sink`.
///
///     part                                     header
///     12 or 14  header                         1  its size
///     n         data: definitions, messages    1  protocol version
///     2         checksum of header and data    2  profile version
///                                              4  n, bytes of data
///     further parts follow without a gap       4  ".FIT"
///                                              2  checksum of the 12 bytes before it, or 0   } of 14
///     Numbers are little endian.
///
/// Damage ends a part where it stands; the walk goes on with the next part where a header stands where one
/// must. A header that promises too much is believed to the end of the file; one that promises too little is
/// not believed where the checksum fails at its end and the messages go on behind it. Linear time, no memory
/// of its own.
[[nodiscard]] FitWalk walkFit(std::span<const std::byte> file, FitSink& sink, const RunControl& run);

}  // namespace beatwitness::recording
