#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace beatwitness::tests {

/// One reader under any bytes: what libFuzzer runs, and what replays the kept inputs in the ordinary tests.
struct FuzzTarget {
    std::string_view name;  ///< of its folders in corpus/ and regressions/, and of its program
    /// What the reader did although it never may; empty where all is well.
    std::string (*complaint)(std::span<const std::byte> bytes);
};

/// All of them: fit, text, xml, rr, json, recording (the sniffing, archives too) and column (the library's).
[[nodiscard]] const std::vector<FuzzTarget>& fuzzTargets();

/// Requires: there is one of this name.
[[nodiscard]] const FuzzTarget& fuzzTarget(std::string_view name);

}  // namespace beatwitness::tests
