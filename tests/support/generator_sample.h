#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "tests/support/generator.h"

/// The pair that comes with the program, in sample-sessions/.
namespace beatwitness::tests {

/// Harbour Crew, rowing ergometer, 5 x 4 min: a strap, and a band that misses a rise, lags twice, halves,
/// drops out, and whose clock is some seconds slow.
[[nodiscard]] PairPlan samplePlan();

struct SampleFile {
    std::string name;
    std::vector<std::byte> bytes;
};

/// Both recordings and the truth about them.
[[nodiscard]] std::vector<SampleFile> sampleFiles();

/// The truth of a pair as JSON: phases, faults, clock and the least-squares alignment. Seconds to the
/// millisecond, ratios to a thousandth: what a reader can check, and the same text on every machine.
[[nodiscard]] std::string truthJson(const GeneratedPair& pair, const std::string& referenceFile,
                                    const std::string& testFile);

}  // namespace beatwitness::tests
