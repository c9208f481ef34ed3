#pragma once

#include "core/evaluation/edition.h"
#include "core/evaluation/project_agreement.h"
#include "core/evaluation/robustness.h"
#include "core/report/json_values.h"

/// Parts of `beatwitness.agreement/1`.
namespace beatwitness::report {

[[nodiscard]] Json figuresJson(const agreement::PooledFigures& figures);
[[nodiscard]] Json limitsJson(const evaluation::GroupLimits& limits, evaluation::Against against);
[[nodiscard]] Json attributionJson(const std::vector<agreement::AttributionRow>& rows);
[[nodiscard]] Json criteriaJson(const std::vector<agreement::CriterionResult>& results);
[[nodiscard]] Json comparisonsJson(const std::vector<evaluation::DeviceComparison>& comparisons);
[[nodiscard]] Json robustnessJson(const std::vector<evaluation::Robustness>& results);
[[nodiscard]] Json equivalenceJson(const std::optional<agreement::Equivalence>& equivalence);
[[nodiscard]] Json intervalJson(const std::optional<agreement::Interval>& interval);
[[nodiscard]] Json labelsJson(const std::vector<std::pair<evaluation::GroupKey, std::string>>& by);

}  // namespace beatwitness::report
