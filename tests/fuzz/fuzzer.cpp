#include <cstdint>
#include <cstdio>

#include "tests/fuzz/targets.h"

// The libFuzzer program of the target whose name the build gives.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const auto& target = beatwitness::tests::fuzzTarget(BEATWITNESS_FUZZ_TARGET);
    const std::string complaint = target.complaint(std::as_bytes(std::span{data, size}));
    if (complaint.empty()) return 0;
    std::fprintf(stderr, "%s\n", complaint.c_str());
    __builtin_trap();
}
