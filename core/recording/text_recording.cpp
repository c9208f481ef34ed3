#include "core/recording/text_recording.h"

namespace beatwitness::recording {
bool looksLikeText(std::span<const std::byte>) { return false; }
Result<Recording> readText(std::span<const std::byte>, const ReadOptions&, const RunControl&) { return cancelled(); }
}  // namespace beatwitness::recording
