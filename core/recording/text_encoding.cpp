#include "core/recording/text_encoding.h"

#include <algorithm>
#include <cstdint>

namespace beatwitness::recording::text {
namespace {

constexpr std::size_t lookedAt = 1024;

std::string_view asCharacters(std::span<const std::byte> bytes) {
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

/// Zeros at every second place of the first bytes, and only there: ASCII in UTF-16 without a mark.
bool zerosOnlyAt(std::string_view text, std::size_t parity) {
    const std::size_t count = std::min<std::size_t>(text.size() & ~std::size_t{1}, 64);
    if (count < 8) return false;
    for (std::size_t i = 0; i < count; ++i)
        if ((text[i] == '\0') != (i % 2 == parity)) return false;
    return true;
}

enum class Width { Utf8, Utf16Little, Utf16Big };

Width widthOf(std::string_view text) {
    if (text.starts_with("\xFF\xFE") || zerosOnlyAt(text, 1)) return Width::Utf16Little;
    if (text.starts_with("\xFE\xFF") || zerosOnlyAt(text, 0)) return Width::Utf16Big;
    return Width::Utf8;
}

void appendUtf8(std::string& out, std::uint32_t point) {
    const auto tail = [&out, point](int shift) {
        out += static_cast<char>(0x80 | ((point >> shift) & 0x3F));
    };
    if (point < 0x80) {
        out += static_cast<char>(point);
    } else if (point < 0x800) {
        out += static_cast<char>(0xC0 | (point >> 6));
        tail(0);
    } else if (point < 0x10000) {
        out += static_cast<char>(0xE0 | (point >> 12));
        tail(6);
        tail(0);
    } else {
        out += static_cast<char>(0xF0 | (point >> 18));
        tail(12);
        tail(6);
        tail(0);
    }
}

std::string fromUtf16(std::string_view bytes, bool isLittle) {
    const auto unit = [bytes, isLittle](std::size_t at) {
        const auto a = static_cast<unsigned char>(bytes[at]), b = static_cast<unsigned char>(bytes[at + 1]);
        return static_cast<std::uint32_t>(isLittle ? a | b << 8 : a << 8 | b);
    };
    std::string out;
    out.reserve(bytes.size() / 2 + bytes.size() / 16);
    for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
        std::uint32_t point = unit(i);
        if (i == 0 && point == 0xFEFF) continue;
        if (point >= 0xD800 && point < 0xDC00 && i + 3 < bytes.size()) {
            const std::uint32_t low = unit(i + 2);
            if (low >= 0xDC00 && low < 0xE000) {
                point = 0x10000 + ((point - 0xD800) << 10) + (low - 0xDC00);
                i += 2;
            }
        }
        if (point >= 0xD800 && point < 0xE000) point = '?';
        appendUtf8(out, point);
    }
    return out;
}

bool isControl(char character) {
    const auto code = static_cast<unsigned char>(character);
    return code < 0x20 && code != '\t' && code != '\n' && code != '\r' && code != '\f';
}

}  // namespace

bool beginsLikeText(std::span<const std::byte> bytes) {
    const auto start = asCharacters(bytes.first(std::min(bytes.size(), lookedAt)));
    if (start.empty()) return false;
    if (start.starts_with("\xEF\xBB\xBF") || widthOf(start) != Width::Utf8) return true;
    // Zeros behind a first whole line are damage part-way, in a text that still has a beginning.
    const std::string_view clean = start.substr(0, start.find('\0'));
    if (clean.size() < start.size() && clean.find_first_of("\r\n") == std::string_view::npos) return false;
    return std::ranges::count_if(clean, isControl) * 20 <= static_cast<std::ptrdiff_t>(clean.size());
}

DecodedText decodeText(std::span<const std::byte> bytes) {
    DecodedText decoded;
    decoded.original = asCharacters(bytes);
    const Width width = widthOf(decoded.original);
    if (width != Width::Utf8) {
        decoded.converted = fromUtf16(decoded.original, width == Width::Utf16Little);
        decoded.isConverted = true;
        decoded.encoding = "UTF-16";
    } else if (decoded.original.starts_with("\xEF\xBB\xBF")) {
        decoded.original.remove_prefix(3);
    }
    return decoded;
}

}  // namespace beatwitness::recording::text
