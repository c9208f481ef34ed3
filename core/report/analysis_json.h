#pragma once

#include <string>

#include "core/analysis/session_analysis.h"

namespace beatwitness::report {

/// `beatwitness.analysis/1` of the batch contract, indented, with a closing newline.
[[nodiscard]] std::string analysisJson(const analysis::SessionAnalysis& session);

/// The same for people: clock, agreement as recorded and aligned side by side, flags, cautions.
[[nodiscard]] std::string analysisText(const analysis::SessionAnalysis& session);

}  // namespace beatwitness::report
