#pragma once

#include <vector>

#include "core/flags/flag.h"

namespace beatwitness::flags {

/// Joins flags of one kind on one trace that are at most `join_s` apart (end to begin), and sorts by begin.
///
/// The joined flag has the union of the spans; magnitude, confidence and sentence are those of the longer
/// one, with magnitudes in s added up where they are lengths (dropout, stuck).
[[nodiscard]] std::vector<Flag> joinedFlags(std::vector<Flag> flags, double join_s);

}  // namespace beatwitness::flags
