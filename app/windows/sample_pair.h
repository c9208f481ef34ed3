#pragma once

#include "app/windows/opening.h"

namespace beatwitness::app {

/// The sample pair: of the sample sessions the first recording (by name) that is called like a strap and the
/// first that is called like a band. Empty paths where there is none.
[[nodiscard]] FilesByRole findSamplePair();

}  // namespace beatwitness::app
