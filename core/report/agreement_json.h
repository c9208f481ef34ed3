#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/evaluation/edition.h"
#include "core/evaluation/project_agreement.h"
#include "core/evaluation/robustness.h"

namespace beatwitness::report {

/// What was frozen, and what is not so any more.
struct EditionReport {
    library::Edition then;
    evaluation::EditionChanges changes;
};

/// Everything that `agreement` prints.
struct AgreementReport {
    const evaluation::ProjectAgreement& answer;
    const evaluation::Question& question;
    std::string library;
    std::vector<evaluation::Robustness> robustness;  ///< where the question asks for it
    std::optional<EditionReport> edition;            ///< where one is opened
};

/// `beatwitness.agreement/1` of the batch contract, and beside it `summary`, `by_wearer` and `equivalence` of
/// a group, `reference_floor`, `reviews` (what was decided by hand), and `robustness` and `edition` where
/// asked.
[[nodiscard]] std::string agreementJson(const AgreementReport& report);

/// A row a group, clock and weighting: what it groups by, counts, then value and interval of each figure. RFC
/// 4180.
[[nodiscard]] std::string agreementCsv(const evaluation::ProjectAgreement& answer);

/// The same for people, with cautions.
[[nodiscard]] std::string agreementText(const AgreementReport& report);

}  // namespace beatwitness::report
