#include <cstddef>
#include <cstdint>
#include <span>

#include "core/recording/hrm_recording.h"
#include "core/recording/rr_recording.h"
#include "tests/fuzz/sound_recording.h"

// libFuzzer: whatever the bytes are, the readers of beats return, and their recordings keep their invariants.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto bytes = std::as_bytes(std::span{data, size});
    static_cast<void>(beatwitness::recording::looksLikeHrm(bytes));
    beatwitness::tests::trapUnlessSound(beatwitness::recording::readHrm(bytes));
    beatwitness::tests::trapUnlessSound(beatwitness::recording::readRr(bytes));
    return 0;
}
