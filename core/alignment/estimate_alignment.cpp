#include "core/alignment/estimate_alignment.h"

#include <cassert>

namespace beatwitness::alignment {

std::string_view methodName(Method method) {
    switch (method) {
        case Method::Auto:
            return "auto";
        case Method::Offset:
            return "offset";
        case Method::None:
            return "none";
    }
    assert(false);
    return "none";
}

Result<Alignment> estimateAlignment(const trace::Trace<ReferenceClock>&, const trace::Trace<TestClock>&,
                                    ClockKnowledge, std::span<const trace::SessionSpan>,
                                    const trace::PairingSettings&, const Settings&, const RunControl&) {
    Alignment refused;
    refused.method = Method::Auto;
    refused.refusedBecause = "Not estimated yet.";
    return refused;
}

}  // namespace beatwitness::alignment
