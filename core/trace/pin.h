#pragma once

#include <string>

#include "core/foundation/clocks.h"

namespace beatwitness::trace {

/// An instant that stays marked, on the reference's clock.
struct Pin {
    ReferenceTime at;
    std::string note;

    friend bool operator==(const Pin&, const Pin&) = default;
};

}  // namespace beatwitness::trace
