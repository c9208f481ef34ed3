#pragma once

#include <string>
#include <vector>

#include "core/evaluation/project_agreement.h"

namespace beatwitness::report {

/// Two or three plain sentences on one group: how far off the device was and how sure that is, how often it
/// was close and how much of the time it measured at all, and what the criteria make of it.
///
/// Every number in them is one of the group's, rounded; every word that judges ("reads low", "no direction
/// can be told") follows from an interval of the group's.
[[nodiscard]] std::vector<std::string> agreementSummary(const evaluation::AgreementGroup& group);

}  // namespace beatwitness::report
