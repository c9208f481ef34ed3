#include "tests/support/archive_writer.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>

namespace beatwitness::tests {
namespace {

constexpr std::size_t window = 32768, shortest = 3, longest = 258;
constexpr int chainsFollowed = 64;

/// Bits as RFC 1951 packs them: from the lowest bit of each byte up, codes with their first bit first.
class BitWriter {
public:
    void number(std::uint32_t value, int bits) {
        for (int i = 0; i < bits; ++i)
            bit((value >> i) & 1U);
    }
    void code(std::uint32_t value, int bits) {
        for (int i = bits - 1; i >= 0; --i)
            bit((value >> i) & 1U);
    }
    [[nodiscard]] std::vector<std::byte> take() { return std::move(bytes_); }

private:
    void bit(std::uint32_t value) {
        if (used_ == 0) bytes_.push_back(std::byte{0});
        bytes_.back() |= static_cast<std::byte>(value << used_);
        used_ = (used_ + 1) % 8;
    }

    std::vector<std::byte> bytes_;
    int used_ = 0;
};

/// Fixed codes of literals, the end and lengths (RFC 1951, 3.2.6).
void writeSymbol(BitWriter& out, std::uint32_t symbol) {
    if (symbol < 144) return out.code(0x30 + symbol, 8);
    if (symbol < 256) return out.code(0x190 + symbol - 144, 9);
    if (symbol < 280) return out.code(symbol - 256, 7);
    out.code(0xC0 + symbol - 280, 8);
}

/// Lengths and distances both come in groups of codes that take one further bit each (RFC 1951, 3.2.5).
struct Group {
    std::uint32_t code;
    std::uint32_t base;
    int extraBits;
};

Group groupOf(std::uint32_t value, std::uint32_t firstBase, int codesAGroupBits) {
    const std::uint32_t above = value - firstBase;
    const auto group = 1U << codesAGroupBits;
    if (above < 2 * group) return {above, value, 0};
    const int extra = std::bit_width(above) - codesAGroupBits - 1;
    const std::uint32_t step = above >> extra;  // group … 2 * group - 1
    return {static_cast<std::uint32_t>(extra) * group + step, firstBase + (step << extra), extra};
}

void writeMatch(BitWriter& out, std::uint32_t length, std::uint32_t distance) {
    if (length == longest) {
        writeSymbol(out, 285);
    } else {
        const auto group = groupOf(length, shortest, 2);
        writeSymbol(out, 257 + group.code);
        out.number(length - group.base, group.extraBits);
    }
    const auto group = groupOf(distance, 1, 1);
    out.code(group.code, 5);
    out.number(distance - group.base, group.extraBits);
}

/// Where the same three bytes stood before.
class Matches {
public:
    explicit Matches(std::span<const std::byte> content) : content_(content), before_(content.size(), none) {
        heads_.fill(none);
    }

    struct Match {
        std::size_t length = 0, distance = 0;
    };

    [[nodiscard]] Match best(std::size_t at) const {
        Match found;
        if (at + shortest > content_.size()) return found;
        int left = chainsFollowed;
        for (auto from = heads_[hash(at)]; from != none && at - from <= window && left-- > 0;
             from = before_[from]) {
            const auto length = common(from, at);
            if (length > found.length) found = {length, at - from};
        }
        return found.length >= shortest ? found : Match{};
    }

    void remember(std::size_t at) {
        if (at + shortest > content_.size()) return;
        before_[at] = heads_[hash(at)];
        heads_[hash(at)] = at;
    }

private:
    static constexpr std::size_t none = ~std::size_t{0};

    [[nodiscard]] std::size_t hash(std::size_t at) const {
        const auto byte = [&](std::size_t i) { return std::to_integer<std::uint32_t>(content_[at + i]); };
        return ((byte(0) << 16U | byte(1) << 8U | byte(2)) * 2654435761U) >> 17U;
    }

    [[nodiscard]] std::size_t common(std::size_t from, std::size_t at) const {
        const std::size_t most = std::min(longest, content_.size() - at);
        std::size_t length = 0;
        while (length < most && content_[from + length] == content_[at + length])
            ++length;
        return length;
    }

    std::span<const std::byte> content_;
    std::vector<std::size_t> before_;
    std::array<std::size_t, 32768> heads_{};
};

/// Bit by bit, as RFC 1952 defines it.
std::uint32_t crc32(std::span<const std::byte> content) {
    std::uint32_t crc = 0xFFFFFFFFU;
    for (const auto byte : content) {
        crc ^= std::to_integer<std::uint32_t>(byte);
        for (int bit = 0; bit < 8; ++bit)
            crc = (crc & 1U) != 0 ? (crc >> 1U) ^ 0xEDB88320U : crc >> 1U;
    }
    return ~crc;
}

void append(std::vector<std::byte>& bytes, std::size_t value, std::size_t size) {
    for (std::size_t i = 0; i < size; ++i)
        bytes.push_back(static_cast<std::byte>(i < sizeof value ? value >> (8 * i) : 0));
}

void append(std::vector<std::byte>& bytes, std::string_view text) {
    for (const char letter : text)
        bytes.push_back(static_cast<std::byte>(letter));
}

void append(std::vector<std::byte>& bytes, std::span<const std::byte> more) {
    bytes.insert(bytes.end(), more.begin(), more.end());
}

/// What the header before a file and the directory's entry have in common.
void appendZipFacts(std::vector<std::byte>& bytes, const ZippedFile& file, std::size_t packed) {
    constexpr std::size_t noon = 12U << 11U, date = (2031U - 1980U) << 9U | 3U << 5U | 24U;
    append(bytes, 20, 2);  // version that can unpack it
    append(bytes, 0, 2);
    append(bytes, 8, 2);  // deflate
    append(bytes, noon, 2);
    append(bytes, date, 2);
    append(bytes, crc32(file.bytes), 4);
    append(bytes, packed, 4);
    append(bytes, file.bytes.size(), 4);
    append(bytes, file.name.size(), 2);
    append(bytes, 0, 2);
}

}  // namespace

std::vector<std::byte> deflated(std::span<const std::byte> content) {
    BitWriter out;
    Matches matches{content};
    out.number(1, 1);  // the last block
    out.number(1, 2);  // with the fixed codes
    for (std::size_t at = 0; at < content.size();) {
        const auto match = matches.best(at);
        if (match.length == 0)
            writeSymbol(out, std::to_integer<std::uint32_t>(content[at]));
        else
            writeMatch(out, static_cast<std::uint32_t>(match.length),
                       static_cast<std::uint32_t>(match.distance));
        for (const auto end = at + std::max<std::size_t>(match.length, 1); at < end; ++at)
            matches.remember(at);
    }
    writeSymbol(out, 256);
    return out.take();
}

std::vector<std::byte> writeGzip(std::string_view name, std::span<const std::byte> content) {
    std::vector<std::byte> bytes;
    append(bytes, 0x08088B1F, 4);  // magic, deflate, a name follows
    append(bytes, 0, 4);
    append(bytes, 0xFF00, 2);  // no system said
    append(bytes, name);
    append(bytes, 0, 1);
    append(bytes, deflated(content));
    append(bytes, crc32(content), 4);
    append(bytes, content.size(), 4);
    return bytes;
}

std::vector<std::byte> writeZip(std::span<const ZippedFile> files) {
    std::vector<std::byte> bytes, directory;
    for (const auto& file : files) {
        const auto packed = deflated(file.bytes);
        append(directory, 0x02014B50, 4);
        append(directory, 20, 2);
        appendZipFacts(directory, file, packed.size());
        append(directory, 0, 10);  // no comment, disk 0, no attributes
        append(directory, bytes.size(), 4);
        append(directory, file.name);
        append(bytes, 0x04034B50, 4);
        appendZipFacts(bytes, file, packed.size());
        append(bytes, file.name);
        append(bytes, packed);
    }
    const auto at = bytes.size();
    append(bytes, directory);
    append(bytes, 0x06054B50, 4);
    append(bytes, 0, 4);
    append(bytes, files.size(), 2);
    append(bytes, files.size(), 2);
    append(bytes, directory.size(), 4);
    append(bytes, at, 4);
    append(bytes, 0, 2);
    return bytes;
}

}  // namespace beatwitness::tests
