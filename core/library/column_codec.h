#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/library/zstd_frame.h"

/// How the columns of a channel are stored: small, and bit for bit what went in.
///
/// A column is one zstd frame (level 1, with checksum) of
/// | bytes | what |
/// | --- | --- |
/// | 1 | `T` times, `S` values scaled to whole numbers, `R` values as they are |
/// | 8 | number of rows, little-endian like all that follows |
/// | 8 | first row: microseconds, scaled value, or bits of the double |
/// | 8 | times: what every step is a multiple of; values: the scale; `R`: 0 |
/// | 1 | bytes per further row, 0 to 8 |
/// | … | the further rows in byte planes: the lowest byte of each, then the next, … |
///
/// A further row is the step from the row before, in units, with the sign in the lowest bit (`R`: the bits
/// that differ from the row before). Byte planes lay the bytes that hardly change side by side, which is
/// where zstd saves.
namespace beatwitness::library {

class ColumnEncoder {
public:
    [[nodiscard]] std::vector<std::byte> encode(std::span<const RecordingTime> times);
    /// Any bits, NaN included. Multiples of 1, 0.1, 0.01 or 0.001 come out small.
    [[nodiscard]] std::vector<std::byte> encode(std::span<const double> values);

private:
    std::vector<std::uint64_t> rows_;
    FramePacker packer_;
};

class ColumnDecoder {
public:
    /// Nothing where the bytes are damaged or hold another kind of column.
    [[nodiscard]] std::optional<std::vector<RecordingTime>> times(std::span<const std::byte> column);
    [[nodiscard]] std::optional<std::vector<double>> values(std::span<const std::byte> column);

private:
    FrameUnpacker unpacker_;
};

}  // namespace beatwitness::library
