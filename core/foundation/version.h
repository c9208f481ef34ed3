#pragma once

#include <string_view>

namespace beatwitness {

/// "beatwitness 0.1.0".
[[nodiscard]] std::string_view programVersion();

}  // namespace beatwitness
