#pragma once

#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <optional>
#include <string>
#include <type_traits>

namespace beatwitness::recording {

/// How the elements of a field are stored. The name of a FIT base type says which of its values means "not
/// there": the highest one, or 0 where the name ends in z.
///
///     base type byte   low 5 bits   name      element   not there
///     0x00             0            enum      1         0xFF
///     0x01             1            sint8     1         0x7F
///     0x02             2            uint8     1         0xFF
///     0x83             3            sint16    2         0x7FFF
///     0x84             4            uint16    2         0xFFFF
///     0x85             5            sint32    4         0x7FFFFFFF
///     0x86             6            uint32    4         0xFFFFFFFF
///     0x07             7            string    1         empty
///     0x88             8            float32   4         not finite
///     0x89             9            float64   8         not finite
///     0x0A             10           uint8z    1         0
///     0x8B             11           uint16z   2         0
///     0x8C             12           uint32z   4         0
///     0x0D             13           byte      1         0xFF
///     0x8E 0x8F 0x90   14 15 16     sint64 uint64 uint64z, likewise
///
/// Bit 7 only repeats that the element is longer than a byte; some writers leave it out, so it is not looked
/// at.
enum class FitType : std::uint8_t {
    Enum,
    Signed8,
    Unsigned8,
    Signed16,
    Unsigned16,
    Signed32,
    Unsigned32,
    Text,
    Float32,
    Float64,
    Unsigned8Z,
    Unsigned16Z,
    Unsigned32Z,
    Bytes,
    Signed64,
    Unsigned64,
    Unsigned64Z,
};

/// nothing for a base type byte that the protocol does not know.
[[nodiscard]] std::optional<FitType> fitType(std::uint8_t baseType);

/// Bytes of one element.
[[nodiscard]] std::size_t elementSize(FitType type);

/// Where one field of a message stands and how it is read. The bytes handed in are those of the message's
/// content, without its header byte; they must reach as far as the message's plan says.
struct FitField {
    FitType type = FitType::Enum;
    bool bigEndian = false;
    std::uint16_t count = 0;   ///< elements; 0: the message has no such field, or none that can be read
    std::uint32_t offset = 0;  ///< of the first element, from the start of the content

    [[nodiscard]] bool present() const { return count > 0; }

    /// Element `index` of the field; nothing where it is absent, marked as not there, or no number.
    [[nodiscard]] std::optional<double> number(const std::byte* content, std::size_t index = 0) const {
        double value = 0;
        return read(content, index, value) ? std::optional{value} : std::nullopt;
    }

    /// The same for loops over a million records, where optionals handed on through memory took a third of
    /// the time: true, and `value` set, where there is a number.
    bool read(const std::byte* content, std::size_t index, double& value) const;

    /// Likewise for times and counters, without their fraction; nothing where it does not fit 32 bits either.
    [[nodiscard]] std::optional<std::uint32_t> unsigned32(const std::byte* content,
                                                          std::size_t index = 0) const;

    /// The text up to its closing zero or, where that is missing, the end of the field. Empty where it is no
    /// text.
    [[nodiscard]] std::string text(const std::byte* content) const;
};

namespace fit_detail {

template <class Unsigned>
[[nodiscard]] inline Unsigned load(const std::byte* at, bool bigEndian) {
    Unsigned value;
    std::memcpy(&value, at, sizeof value);
    if (bigEndian == (std::endian::native == std::endian::big)) return value;
    if constexpr (sizeof value == 2) value = __builtin_bswap16(value);
    if constexpr (sizeof value == 4) value = __builtin_bswap32(value);
    if constexpr (sizeof value == 8) value = __builtin_bswap64(value);
    return value;
}

/// `Stored` as the file has it, unless it is the mark `notThere`.
template <class Stored>
inline bool integer(const std::byte* at, bool bigEndian, Stored notThere, double& value) {
    const auto stored = static_cast<Stored>(load<std::make_unsigned_t<Stored>>(at, bigEndian));
    value = static_cast<double>(stored);
    return stored != notThere;
}

template <class Stored, class Bits>
inline bool floating(const std::byte* at, bool bigEndian, double& value) {
    value = static_cast<double>(std::bit_cast<Stored>(load<Bits>(at, bigEndian)));
    return std::isfinite(value);
}

}  // namespace fit_detail

inline bool FitField::read(const std::byte* content, std::size_t index, double& value) const {
    using namespace fit_detail;
    if (index >= count) return false;
    const auto element = [&](std::size_t size) { return content + offset + index * size; };
    switch (type) {
        case FitType::Enum:
        case FitType::Unsigned8:
        case FitType::Bytes:
            return integer<std::uint8_t>(element(1), bigEndian, 0xFF, value);
        case FitType::Unsigned8Z:
            return integer<std::uint8_t>(element(1), bigEndian, 0, value);
        case FitType::Signed8:
            return integer<std::int8_t>(element(1), bigEndian, INT8_MAX, value);
        case FitType::Signed16:
            return integer<std::int16_t>(element(2), bigEndian, INT16_MAX, value);
        case FitType::Unsigned16:
            return integer<std::uint16_t>(element(2), bigEndian, UINT16_MAX, value);
        case FitType::Unsigned16Z:
            return integer<std::uint16_t>(element(2), bigEndian, 0, value);
        case FitType::Signed32:
            return integer<std::int32_t>(element(4), bigEndian, INT32_MAX, value);
        case FitType::Unsigned32:
            return integer<std::uint32_t>(element(4), bigEndian, UINT32_MAX, value);
        case FitType::Unsigned32Z:
            return integer<std::uint32_t>(element(4), bigEndian, 0, value);
        case FitType::Signed64:
            return integer<std::int64_t>(element(8), bigEndian, INT64_MAX, value);
        case FitType::Unsigned64:
            return integer<std::uint64_t>(element(8), bigEndian, UINT64_MAX, value);
        case FitType::Unsigned64Z:
            return integer<std::uint64_t>(element(8), bigEndian, 0, value);
        case FitType::Float32:
            return floating<float, std::uint32_t>(element(4), bigEndian, value);
        case FitType::Float64:
            return floating<double, std::uint64_t>(element(8), bigEndian, value);
        case FitType::Text:
            return false;
    }
    return false;
}

inline std::optional<std::uint32_t> FitField::unsigned32(const std::byte* content, std::size_t index) const {
    if (type == FitType::Unsigned32 &&
        index < count) {  // as the profile has it: no way round through a double
        const auto value = fit_detail::load<std::uint32_t>(content + offset + index * 4, bigEndian);
        if (value == UINT32_MAX) return std::nullopt;
        return value;
    }
    const auto value = number(content, index);
    if (!value || *value < 0 || *value >= UINT32_MAX) return std::nullopt;
    return static_cast<std::uint32_t>(*value);
}

}  // namespace beatwitness::recording
