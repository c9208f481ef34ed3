#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/agreement/criterion.h"
#include "core/evaluation/project_agreement.h"

namespace beatwitness::evaluation {

/// Epochs under which a figure is held up.
inline constexpr std::array robustEpochs_s{1, 5, 10, 30, 60};

/// One figure under one set of choices.
struct RobustnessRow {
    Clock clock = Clock::Aligned;
    int epoch_s = 1;
    bool excludeReferenceFaults = true;
    std::string without;             ///< name of the session left out; empty: none
    bool chosen = false;             ///< the choices of the question itself
    agreement::PooledFigure figure;  ///< time-weighted
    std::size_t units = 0;
    std::optional<agreement::Verdict> verdict;  ///< of the criterion on this metric, where there is one
};

/// How one group's figure stands up.
struct Robustness {
    std::vector<std::pair<GroupKey, std::string>> by;
    agreement::Metric metric = agreement::Metric::Mae;
    std::vector<RobustnessRow> rows;  ///< every clock, epoch and choice of reference faults; then, under the
                                      ///< question's own choices, without each session
    /// Lowest and highest value of all rows, and whether they all give one verdict.
    std::optional<double> lowest, highest;
    std::optional<bool> oneVerdict;
};

/// The same metric under all choices. `excluding` and `keeping` are the evidence without and with the seconds
/// under reference faults; flags in them are as decided. Criteria on the metric give verdicts.
[[nodiscard]] std::vector<Robustness> robustness(const std::vector<SessionEvidence>& excluding,
                                                 const std::vector<SessionEvidence>& keeping,
                                                 const Question& question, agreement::Metric metric,
                                                 const std::vector<agreement::Criterion>& criteria);

}  // namespace beatwitness::evaluation
