#include <cstddef>
#include <cstdint>
#include <span>

#include "core/recording/text_recording.h"
#include "tests/fuzz/sound_recording.h"

// libFuzzer. Whatever the bytes are, the reader of separated text returns.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto bytes = std::as_bytes(std::span{data, size});
    beatwitness::tests::trapUnlessSound(beatwitness::recording::readText(bytes));
    return 0;
}
