#include "core/recording/fit_recording.h"

namespace beatwitness::recording {
bool looksLikeFit(std::span<const std::byte>) { return false; }
Result<Recording> readFit(std::span<const std::byte>, const RunControl&) { return cancelled(); }
}  // namespace beatwitness::recording
