#include "core/recording/fit_field.h"

#include <algorithm>

namespace beatwitness::recording {

std::optional<FitType> fitType(std::uint8_t baseType) {
    const unsigned number = baseType & 0x1FU;
    if (number > static_cast<unsigned>(FitType::Unsigned64Z)) return std::nullopt;
    return static_cast<FitType>(number);
}

std::size_t elementSize(FitType type) {
    switch (type) {
        case FitType::Enum:
        case FitType::Signed8:
        case FitType::Unsigned8:
        case FitType::Unsigned8Z:
        case FitType::Text:
        case FitType::Bytes:
            return 1;
        case FitType::Signed16:
        case FitType::Unsigned16:
        case FitType::Unsigned16Z:
            return 2;
        case FitType::Signed32:
        case FitType::Unsigned32:
        case FitType::Unsigned32Z:
        case FitType::Float32:
            return 4;
        case FitType::Float64:
        case FitType::Signed64:
        case FitType::Unsigned64:
        case FitType::Unsigned64Z:
            return 8;
    }
    return 1;
}

std::string FitField::text(const std::byte* content) const {
    if (type != FitType::Text || !present()) return {};
    const auto* const begin = reinterpret_cast<const char*>(content) + offset;
    return {begin, std::find(begin, begin + count, '\0')};
}

}  // namespace beatwitness::recording
