#pragma once

#include <span>
#include <string>

#include "app/workstation.h"
#include "core/foundation/result.h"

namespace beatwitness::app {

/// What the words after the program's name ask of the window: recordings to open, roles, and the picture
/// options.
///
/// Faults: WrongUsage.
[[nodiscard]] Result<WorkstationOptions> workstationOptions(std::span<const std::string> words);

}  // namespace beatwitness::app
