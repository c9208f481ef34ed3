#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace beatwitness::tests {

/// Base type bytes of the FIT protocol.
namespace fit_base {
inline constexpr std::uint8_t enumeration = 0x00, uint8 = 0x02, string = 0x07, byte = 0x0D, uint16 = 0x84,
                              uint32 = 0x86, sint8 = 0x01;
}

/// The value of one field, or of one element of an array field.
struct FitValue {
    std::vector<std::uint8_t> littleEndian;
    bool number = true;  ///< numbers are turned round in big-endian messages
};
[[nodiscard]] FitValue u8(std::uint8_t value);
[[nodiscard]] FitValue u16(std::uint16_t value);
[[nodiscard]] FitValue u32(std::uint32_t value);
/// `text` cut or filled with zeros to `size` bytes.
[[nodiscard]] FitValue fitText(std::string_view text, std::size_t size);
/// Counters of 1/1024 s as `hr` messages pack them: the low 12 bits of each, two in three bytes. Requires: an
/// even number.
[[nodiscard]] FitValue packed12(std::span<const std::uint32_t> counters);

struct FitWriterField {
    std::uint8_t number;
    std::uint8_t size;
    std::uint8_t baseType;
};

/// How the frame of a part is written.
struct FitFrame {
    std::size_t headerSize = 14;
    bool headerChecksum = true;                ///< else 0, which says: none
    std::optional<std::uint32_t> dataBytes{};  ///< a length other than the true one
    bool closingChecksum = true;               ///< else left out
    std::uint16_t checksumError = 0;           ///< xor-ed onto the closing checksum
};

/// Writes one part of a FIT file, byte by byte as the protocol says, for tests and the generator. Chained
/// files: one part's bytes behind the other's. Written apart from the reader; the two share no code.
class FitWriter {
public:
    FitWriter& define(std::uint8_t localType, std::uint16_t message, std::vector<FitWriterField> fields,
                      bool bigEndian = false, std::vector<FitWriterField> developerFields = {});
    FitWriter& data(std::uint8_t localType, const std::vector<FitValue>& values);
    /// Requires: localType < 4, offset_s < 32.
    FitWriter& compressed(std::uint8_t localType, std::uint8_t offset_s, const std::vector<FitValue>& values);
    FitWriter& raw(std::span<const std::uint8_t> bytes);

    [[nodiscard]] std::vector<std::byte> bytes(const FitFrame& frame = {}) const;

private:
    void append(const std::vector<FitValue>& values, bool bigEndian);

    std::vector<std::uint8_t> data_;
    std::array<bool, 16> bigEndian_{};
};

/// One record of an activity. `time` is FIT time: seconds since 1989-12-31T00:00:00Z.
struct FitRecord {
    std::uint32_t time = 0;
    std::optional<std::uint8_t> heartRate_bpm{};
    std::optional<std::uint8_t> cadence_per_min{};
};

inline constexpr std::int64_t fitWriterEpoch_s = 631065600;  ///< 1989-12-31T00:00:00Z from 1970

/// A plain activity: file_id, a product name, one record each.
[[nodiscard]] std::vector<std::byte> fitActivity(std::span<const FitRecord> records,
                                                 std::string_view product);

}  // namespace beatwitness::tests
