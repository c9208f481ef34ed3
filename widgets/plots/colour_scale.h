#pragma once

namespace beatwitness::widgets {

/// How colour goes with the count of a cell.
enum class ColourScale { Logarithmic, CubeRoot, Linear };

}  // namespace beatwitness::widgets
