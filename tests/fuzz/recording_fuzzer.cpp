#include <cstddef>
#include <cstdint>
#include <span>

#include "core/recording/read_recording.h"
#include "tests/fuzz/sound_recording.h"

// libFuzzer. Whatever the bytes are, the sniffing finds a reader or a fault, and archives unpack within
// bounds.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto bytes = std::as_bytes(std::span{data, size});
    beatwitness::tests::trapUnlessSound(beatwitness::recording::readRecording(bytes));
    return 0;
}
