#pragma once

#include "app/windows/opening.h"

namespace beatwitness::app {

/// The sample pair: the first folder (by name) under the sample sessions that holds a recording named like a
/// strap and one named like a band. Looked for beside the installed program, then where the program was
/// built. Empty paths where there is none.
[[nodiscard]] FilesByRole findSamplePair();

}  // namespace beatwitness::app
