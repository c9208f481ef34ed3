#pragma once

#include <filesystem>
#include <vector>

#include "core/agreement/criterion.h"
#include "core/foundation/result.h"

namespace beatwitness::verbs {

/// Reads `beatwitness.criteria/1`: {"schema", "criteria": [{"metric", "limit", "sense", "activity", "device",
/// "confidence", "set_at"}]}. A metric is a key of the agreement's figures; a sense is `at most`, `at least`
/// or `within` (left out: `at least` for shares and correlations, `within` for the bias, else `at most`);
/// activity and device may be left out for all; confidence is 0.95 where left out; set_at an ISO instant.
/// Faults: those of reading the file; Damaged with the place and what was expected.
[[nodiscard]] Result<std::vector<agreement::Criterion>> readCriteria(const std::filesystem::path& path);

}  // namespace beatwitness::verbs
