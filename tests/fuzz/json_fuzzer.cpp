#include <cstddef>
#include <cstdint>
#include <span>

#include "core/recording/json_recording.h"
#include "tests/fuzz/sound_recording.h"

// libFuzzer: whatever the bytes are, the JSON reader returns, and its recording keeps its invariants.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto bytes = std::as_bytes(std::span{data, size});
    static_cast<void>(beatwitness::recording::looksLikeJson(bytes));
    beatwitness::tests::trapUnlessSound(beatwitness::recording::readJson(bytes));
    return 0;
}
