#pragma once

#include <string_view>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"
#include "core/recording/text_plan.h"

namespace beatwitness::recording::text {

/// Reads the rows of `text` as `plan` says.
///
/// Rows without a readable time are left out and told of; values that are missing or cannot be read leave
/// their row counted. One pass. Faults: NoTimeColumn where no row has a time, Cancelled.
[[nodiscard]] Result<Recording> collectRows(std::string_view text, TablePlan plan, const RunControl& run);

}  // namespace beatwitness::recording::text
