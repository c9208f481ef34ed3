#pragma once

#include <vector>

#include "core/flags/flag.h"

namespace beatwitness::flags {

/// Takes the seconds of dropouts out of the other flags on the same trace: where there is no sample nothing
/// else is wrong. A flag that spans a dropout becomes two; pieces shorter than 3 s are dropped.
[[nodiscard]] std::vector<Flag> withoutDropouts(const std::vector<Flag>& flags);

/// Joins flags of one kind on one trace that are at most `join_s` apart (end to begin), and sorts by begin.
///
/// The joined flag has the union of the spans; magnitude, confidence and sentence are those of the longer
/// one, with magnitudes in s added up where they are lengths (dropout, stuck).
[[nodiscard]] std::vector<Flag> joinedFlags(std::vector<Flag> flags, double join_s);

}  // namespace beatwitness::flags
