#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/evaluation/compared_side.h"
#include "core/evaluation/device_comparison.h"
#include "core/report/figures/figure_request.h"
#include "core/report/scene.h"

/// Two devices, versions or years beside each other: everything that the Compare page shows.
namespace beatwitness::report {

struct ComparedAsk {
    std::string project;
    std::string a, b;  ///< names of sides; empty: the first two devices, or versions, or years
    evaluation::Clock clock = evaluation::Clock::Aligned;
    int epoch_s = 1;
    bool excludeReferenceFaults = true;
    std::optional<double> margin_bpm;
    friend bool operator==(const ComparedAsk&, const ComparedAsk&) = default;
};

/// The choices of an ask, without project and sides, as a word and value a line; and back. What a reader does
/// not know it passes over.
[[nodiscard]] std::string choicesText(const ComparedAsk& ask);
void takeChoices(ComparedAsk& ask, const std::string& text);

/// Scenes carry their titles and captions, but no footnote: the page has the cautions.
struct ComparedView {
    std::vector<evaluation::ComparedSide> sides;            ///< that can be chosen from
    std::string a, b;                                       ///< sides shown; empty where there are no two
    std::vector<evaluation::DeviceComparison> comparisons;  ///< under the clock asked
    std::vector<std::string> words;
    std::optional<Scene> maps, intervals, paired, attribution, overTime;
};

/// `evidence`: all of the project's, second references among it. Faults: NothingToCompare without a scored
/// recording. With fewer than two sides the view has sides alone.
[[nodiscard]] Result<ComparedView> comparedView(const std::vector<evaluation::SessionEvidence>& evidence,
                                                const ComparedAsk& ask,
                                                const std::vector<agreement::Criterion>& criteria,
                                                std::size_t failedAttempts);

/// How the error of either side stands up, a first; `other`: with the other choice of reference faults.
[[nodiscard]] std::vector<Scene> comparedStanding(const std::vector<evaluation::SessionEvidence>& evidence,
                                                  const std::vector<evaluation::SessionEvidence>& other,
                                                  const ComparedAsk& ask,
                                                  const std::vector<agreement::Criterion>& criteria);

/// The figure of the side-by-side view, for "add to figures": one of `kind` with both sides, or with `a`
/// alone where the kind shows one.
[[nodiscard]] FigureRequest figureOf(const ComparedAsk& ask, FigureKind kind);

}  // namespace beatwitness::report
