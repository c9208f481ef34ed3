#include "core/recording/fit_checksum.h"

#include <array>

namespace beatwitness::recording {
namespace {

constexpr std::size_t slices = 8;
using Table = std::array<std::array<std::uint16_t, 256>, slices>;

/// tables[k][b]: what byte b, followed by k zero bytes, leaves in the checksum.
constexpr Table makeTables() {
    Table tables{};
    for (unsigned byte = 0; byte < 256; ++byte) {
        unsigned value = byte;
        for (int bit = 0; bit < 8; ++bit)
            value = (value & 1U) != 0 ? (value >> 1) ^ 0xA001U : value >> 1;
        tables[0][byte] = static_cast<std::uint16_t>(value);
    }
    for (std::size_t k = 1; k < slices; ++k)
        for (unsigned byte = 0; byte < 256; ++byte) {
            const unsigned shorter = tables[k - 1][byte];
            tables[k][byte] = static_cast<std::uint16_t>((shorter >> 8) ^ tables[0][shorter & 0xFFU]);
        }
    return tables;
}

constexpr Table tables = makeTables();

}  // namespace

std::uint16_t fitChecksum(std::span<const std::byte> bytes, std::uint16_t before) {
    const auto* at = reinterpret_cast<const unsigned char*>(bytes.data());
    const auto* const end = at + bytes.size();
    unsigned value = before;
    for (; end - at >= static_cast<std::ptrdiff_t>(slices); at += slices)
        value = tables[7][at[0] ^ (value & 0xFFU)] ^ tables[6][at[1] ^ (value >> 8)] ^ tables[5][at[2]] ^
                tables[4][at[3]] ^ tables[3][at[4]] ^ tables[2][at[5]] ^ tables[1][at[6]] ^ tables[0][at[7]];
    for (; at != end; ++at)
        value = (value >> 8) ^ tables[0][(value ^ *at) & 0xFFU];
    return static_cast<std::uint16_t>(value);
}

}  // namespace beatwitness::recording
