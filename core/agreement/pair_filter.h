#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/trace/pairs.h"

namespace beatwitness::agreement {

/// A rectangle of the agreement map, in bpm, edges included.
struct RateBox {
    double referenceLow_bpm = 0.0, referenceHigh_bpm = 0.0;
    double testLow_bpm = 0.0, testHigh_bpm = 0.0;

    friend bool operator==(const RateBox&, const RateBox&) = default;
};

/// The pairs whose test lies within `halfWidth_bpm` (included) of `ratio` times the reference: a band along a
/// guide of the map.
struct GuideBand {
    double ratio = 1.0;
    double halfWidth_bpm = 5.0;

    friend bool operator==(const GuideBand&, const GuideBand&) = default;
};

/// What a pair must satisfy, all of it. What is absent asks for nothing; a list asks for one of its spans,
/// and an empty list that is there lets nothing through.
struct PairFilter {
    std::optional<trace::SessionSpan> range;                ///< begin <= t <= end
    std::optional<std::vector<trace::SessionSpan>> phases;  ///< begin <= t < end
    std::optional<std::vector<trace::SessionSpan>> flags;   ///< begin <= t <= end
    std::optional<RateBox> box;
    std::optional<GuideBand> band;

    [[nodiscard]] bool asksForNothing() const { return !range && !phases && !flags && !box && !band; }
};

/// The pairs that pass, in their order. Their `referenceSeconds` is their own number: a coverage of what was
/// picked says nothing. O(pairs + spans log spans).
[[nodiscard]] trace::Pairs filtered(const trace::Pairs& pairs, const PairFilter& filter);

/// Nothing where there is none.
[[nodiscard]] std::optional<Bpm> meanRate(std::span<const Bpm> rates);

/// Runs of neighbouring seconds; gaps of up to `bridge_s` seconds are run over. O(pairs).
[[nodiscard]] std::vector<trace::SessionSpan> stretchesOf(const trace::Pairs& pairs,
                                                          std::int64_t bridge_s = 1);

}  // namespace beatwitness::agreement
