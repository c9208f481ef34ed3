#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

#include "core/flags/flag.h"
#include "core/foundation/units.h"
#include "core/trace/pairs.h"

namespace beatwitness::agreement {

/// What makes up a mean absolute error, as sums that add up over sessions.
///
/// Every paired second counts once: for the first kind, in the order of precedence, whose flag on the test
/// covers it; else for `withinTolerance` where |error| <= max(5 bpm, 10 % of the reference), inclusive; else
/// for `noFlag`. So the rows' absolute errors add up to that of all pairs.
struct Attribution {
    struct Part {
        double seconds = 0;   ///< paired seconds
        double absolute = 0;  ///< sum of |error|, bpm
        Part& operator+=(const Part& other);
    };
    std::array<Part, flags::allFlagKinds.size()> kinds{};  ///< by the kind's place in allFlagKinds
    Part withinTolerance;
    Part noFlag;

    [[nodiscard]] Part total() const;
    Attribution& operator+=(const Attribution& other);
};

/// A row of the table that the batch contract asks for.
struct AttributionRow {
    std::string_view kind;  ///< a kind's name, `within tolerance` or `no flag`
    double seconds = 0;     ///< paired seconds
    BpmDelta contribution;  ///< its part of the mean absolute error; rows add up to that
    Percent share;          ///< of the mean absolute error; 0 where that is 0
};

/// Attribution of `pairs` to `flags` (of a test under the same clock; flags on the reference are passed over:
/// those that count have left the pairs). O(pairs + flags log flags).
[[nodiscard]] Attribution attributionOf(const trace::Pairs& pairs, std::span<const flags::Flag> flags);

/// The same over part of the pairs: those for which `counted` says so.
template <class Counted>
[[nodiscard]] Attribution attributionWhere(const trace::Pairs& pairs, std::span<const flags::Flag> flags,
                                           Counted counted) {
    trace::Pairs part;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        if (!counted(i)) continue;
        part.seconds.push_back(pairs.seconds[i]);
        part.reference.push_back(pairs.reference[i]);
        part.test.push_back(pairs.test[i]);
    }
    return attributionOf(part, flags);
}

/// One row per kind that covers paired seconds, in the order of precedence, then the two rest rows. Empty
/// without pairs.
[[nodiscard]] std::vector<AttributionRow> attributionRows(const Attribution& sums);

}  // namespace beatwitness::agreement
