#include <cstddef>
#include <cstdint>
#include <span>

#include "core/recording/xml_recording.h"
#include "tests/fuzz/sound_recording.h"

// libFuzzer. Whatever the bytes are, the reader of TCX and GPX returns.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto bytes = std::as_bytes(std::span{data, size});
    beatwitness::tests::trapUnlessSound(beatwitness::recording::readXml(bytes));
    return 0;
}
