#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// gzip and zip archives whose bytes are the same on every machine: no library whose next version packs
/// otherwise, no clock, no names of systems.
namespace beatwitness::tests {

/// One block of RFC 1951 with its fixed codes; matches are found by hashing three bytes. About a fifth of a
/// text of measurements is left.
[[nodiscard]] std::vector<std::byte> deflated(std::span<const std::byte> content);

/// RFC 1952 with the name inside, the time left out.
[[nodiscard]] std::vector<std::byte> writeGzip(std::string_view name, std::span<const std::byte> content);

struct ZippedFile {
    std::string name;
    std::vector<std::byte> bytes;
};

/// The files in the order given, dated 2031-03-24 12:00.
[[nodiscard]] std::vector<std::byte> writeZip(std::span<const ZippedFile> files);

}  // namespace beatwitness::tests
