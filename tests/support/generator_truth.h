#pragma once

#include <nlohmann/json.hpp>
#include <optional>

#include "tests/support/generator.h"

/// Parts of a truth file. Seconds to the millisecond, ratios to a thousandth: what a reader can check, and
/// the same text on every machine.
namespace beatwitness::tests {

[[nodiscard]] double thousandths(double value);
[[nodiscard]] nlohmann::ordered_json truthPhasesJson(const Truth& truth);
/// Of one side, or of both.
[[nodiscard]] nlohmann::ordered_json truthFaultsJson(const Truth& truth, std::optional<FaultOn> on = {});
/// What was applied, and the least-squares offset to a hundredth, null where it cannot be known.
[[nodiscard]] nlohmann::ordered_json truthAlignmentJson(const GeneratedPair& pair);

}  // namespace beatwitness::tests
