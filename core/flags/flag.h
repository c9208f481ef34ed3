#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/foundation/units.h"
#include "core/trace/pairs.h"

namespace beatwitness::flags {

/// Ways in which a trace cannot be trusted; definitions in the batch contract.
enum class FlagKind { Dropout };

/// As the batch contract writes it: `dropout`, …
[[nodiscard]] std::string_view flagKindName(FlagKind kind);

enum class FlaggedTrace { Test, Reference };

/// A stretch of session time in which a trace cannot be trusted.
struct Flag {
    FlagKind kind = FlagKind::Dropout;
    FlaggedTrace on = FlaggedTrace::Test;
    trace::SessionSpan span;            ///< the seconds that are wrong because of it
    double magnitude = 0.0;             ///< in `unit`
    std::string_view unit = "s";        ///< s, ratio, multiple or bpm, by kind
    std::optional<BpmDelta> meanError;  ///< over the paired seconds of the span, where there are any
    double confidence = 1.0;            ///< 0 to 1
    bool excluded = false;              ///< its seconds leave the agreement (reference faults only)
    std::string because;                ///< one sentence with its numbers
};

}  // namespace beatwitness::flags
