#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

namespace beatwitness::recording {

/// The 16-bit cyclic checksum of FIT: polynomial x^16 + x^15 + x^2 + 1, bits reflected (0xA001), start value
/// 0, no final inversion. Over bytes followed by their own checksum, low byte first, it is 0.
///
/// `before` is the checksum of what stands in front of `bytes`. Linear time, eight bytes a step.
/// Source: the open FIT protocol; the eight-table form follows from the linearity of the checksum.
[[nodiscard]] std::uint16_t fitChecksum(std::span<const std::byte> bytes, std::uint16_t before = 0);

}  // namespace beatwitness::recording
