#pragma once

#include "core/recording/rr_layout.h"

namespace beatwitness::recording::rr {

/// Adds to `layout` what was guessed of it, and what the user should be warned of.
void noteLayout(RrLayout& layout, const ReadOptions& options);

}  // namespace beatwitness::recording::rr
