#pragma once

#include <string>
#include <vector>

#include "core/agreement/planning.h"
#include "core/evaluation/plan_card.h"

/// A plan for people and programs, before the results.
namespace beatwitness::report {

/// The card as text of some 20 lines: question, planned matrix, criteria, digest. For the clipboard.
[[nodiscard]] std::string planCardText(const evaluation::PlanCard& card);
/// The same as a page to be printed.
[[nodiscard]] std::string planCardHtml(const evaluation::PlanCard& card);

/// `beatwitness.plan/1`: project, question, devices, matrix, criteria with `set_at`, `withdrawn_at` and
/// `before_data`, digest. With an expectation also `sessions_needed`, `expected`, `spread` and `intervals`
/// of every criterion in force whose metric it makes sense for.
[[nodiscard]] std::string planCardJson(const evaluation::PlanCard& card,
                                       const std::optional<agreement::Expectation>& expectation);

/// Numbers of sessions that tables and curves show: 2 to 10 one by one, then wider, up to `last` (at least
/// 12), and one beyond what is needed.
[[nodiscard]] std::vector<std::size_t> plannedCounts(std::optional<std::size_t> last);

/// A table a criterion in force: interval and verdict over the number of sessions, if `expectation` holds.
[[nodiscard]] std::string sessionsNeededText(const evaluation::PlanCard& card,
                                             const agreement::Expectation& expectation);

/// "set before data was there", "set after data was there", "no data yet".
[[nodiscard]] std::string beforeDataWords(const std::optional<bool>& beforeData);

}  // namespace beatwitness::report
