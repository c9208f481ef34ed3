#pragma once

#include <string>

#include "core/evaluation/project_agreement.h"

namespace beatwitness::report {

/// `beatwitness.agreement/1` of the batch contract, as far as it is answered: groups with their pooled
/// figures.
[[nodiscard]] std::string agreementJson(const evaluation::ProjectAgreement& answer,
                                        const evaluation::Question& question, const std::string& library);

/// A row a group, clock and weighting: what it groups by, counts, then value and interval of each figure. RFC
/// 4180.
[[nodiscard]] std::string agreementCsv(const evaluation::ProjectAgreement& answer);

/// The same for people, with cautions.
[[nodiscard]] std::string agreementText(const evaluation::ProjectAgreement& answer);

}  // namespace beatwitness::report
