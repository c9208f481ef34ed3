#include <cstddef>
#include <cstdint>
#include <span>

#include "core/recording/fit_recording.h"

// libFuzzer: whatever the bytes are, the FIT reader returns, and its channels keep their invariants.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto bytes = std::as_bytes(std::span{data, size});
    static_cast<void>(beatwitness::recording::looksLikeFit(bytes));
    const auto recording = beatwitness::recording::readFit(bytes);
    if (!recording) return 0;
    for (const auto& channel : recording->channels)
        if (channel.values.empty() || channel.times.size() != channel.values.size()) __builtin_trap();
    return 0;
}
