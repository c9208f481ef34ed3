#pragma once

#include <string>
#include <vector>

#include "core/evaluation/project_agreement.h"
#include "core/report/figures/agreement_scenes.h"
#include "core/report/figures/figure_request.h"

/// What the figures of a project have in common.
namespace beatwitness::report {

/// The scored wearings of a project that a figure asks for, second references apart.
struct FigureEvidence {
    evaluation::Question question;
    std::vector<evaluation::SessionEvidence> evidence;    ///< of devices
    std::vector<evaluation::SessionEvidence> references;  ///< second ones, scored against the first
    std::vector<std::string> devices;                     ///< by label; in the order of figures
    std::vector<std::string> activities;                  ///< by label
    std::vector<int> colours;  ///< of each device, where its place is not its colour
    std::size_t failedAttempts = 0;
    std::vector<library::StoredOutcome> fresh;

    [[nodiscard]] int colourOf(const std::string& device) const;
};

/// The same from evidence at hand, which holds all that `request` asks for; versions and years of devices
/// stand under their own names, in the order asked. Faults: NothingToCompare, NotInLibrary (such a version or
/// year was never recorded).
[[nodiscard]] Result<FigureEvidence> figureEvidenceOf(const FigureRequest& request,
                                                      std::vector<evaluation::SessionEvidence> evidence,
                                                      std::vector<agreement::Criterion> criteria,
                                                      std::size_t failedAttempts);

/// Faults: those of projectEvidence(), NothingToCompare without a scored wearing.
[[nodiscard]] Result<FigureEvidence> figureEvidence(library::Library& library, const FigureRequest& request,
                                                    const RunControl& run);

/// Title, subtitle, caption and footnote of a pooled figure: `title` first, then what it rests on.
[[nodiscard]] FigureWords pooledWords(const FigureEvidence& evidence, const FigureRequest& request,
                                      const std::string& title, const std::string& caption);

/// "band", "band and watch", "band, ring and watch".
[[nodiscard]] std::string listed(const std::vector<std::string>& names);
/// First letter upper case.
[[nodiscard]] std::string sentenceCase(std::string text);

/// Groups under the clock asked, by the keys asked.
[[nodiscard]] std::vector<evaluation::AgreementGroup> groupsBy(const FigureEvidence& evidence,
                                                               const FigureRequest& request,
                                                               std::vector<evaluation::GroupKey> keys);
/// The same without limits and correlations, which take most of the time.
[[nodiscard]] std::vector<evaluation::AgreementGroup> meansBy(FigureEvidence evidence,
                                                              const FigureRequest& request,
                                                              std::vector<evaluation::GroupKey> keys);
[[nodiscard]] std::string labelOf(const evaluation::AgreementGroup& group, evaluation::GroupKey key);
[[nodiscard]] std::optional<std::array<double, 2>> intervalOf(const agreement::PooledFigure& figure);

// The figures themselves, by what they need.
/// A scene that can move.
struct TimedScene {
    Scene scene;
    MotionSource motion;
};
[[nodiscard]] Result<TimedScene> overlayFigure(library::Library& library, const FigureRequest& request,
                                               const RunControl& run);
[[nodiscard]] Result<Scene> lossCurveFigure(library::Library& library, const FigureRequest& request,
                                            const RunControl& run);
[[nodiscard]] Result<Scene> sessionsFigure(library::Library& library, const FigureRequest& request,
                                           const RunControl& run);
[[nodiscard]] Result<Scene> mapFigure(const FigureEvidence& evidence, const FigureRequest& request);
/// The seconds that the map counts, one after another in the order of sessions.
[[nodiscard]] MotionSource mapMotion(const FigureEvidence& evidence, const FigureRequest& request);
/// A row a device, a column an activity; with `across`, as many columns at most and further rows for the others.
[[nodiscard]] Result<Scene> smallMapsFigure(const FigureEvidence& evidence, const FigureRequest& request,
                                            std::size_t across = 0);
[[nodiscard]] Result<Scene> differenceFigure(const FigureEvidence& evidence, const FigureRequest& request);
[[nodiscard]] Result<Scene> distributionFigure(const FigureEvidence& evidence, const FigureRequest& request);
[[nodiscard]] Result<Scene> errorByRangeFigure(const FigureEvidence& evidence, const FigureRequest& request);
[[nodiscard]] Result<Scene> intervalsFigure(const FigureEvidence& evidence, const FigureRequest& request);
[[nodiscard]] Result<Scene> pairedFigure(const FigureEvidence& evidence, const FigureRequest& request);
[[nodiscard]] Result<Scene> attributionFigure(const FigureEvidence& evidence, const FigureRequest& request);
[[nodiscard]] Result<Scene> robustnessFigure(library::Library& library, const FigureEvidence& evidence,
                                             const FigureRequest& request, const RunControl& run);
/// How the figure of one device stands up; `other` is the evidence with the other choice of reference faults.
[[nodiscard]] Result<Scene> standingFigure(const FigureEvidence& evidence,
                                           const std::vector<evaluation::SessionEvidence>& other,
                                           const FigureRequest& request);
[[nodiscard]] Result<Scene> overTimeFigure(const FigureEvidence& evidence, const FigureRequest& request);
[[nodiscard]] Result<Scene> cardFigure(const FigureEvidence& evidence, const FigureRequest& request);

}  // namespace beatwitness::report
