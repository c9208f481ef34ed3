#pragma once

#include <cstddef>
#include <span>
#include <string>

namespace beatwitness::recording {

/// SHA-256 of `bytes` in 64 lower-case hexadecimal digits.
[[nodiscard]] std::string sha256(std::span<const std::byte> bytes);

}  // namespace beatwitness::recording
