#pragma once

#include <vector>

#include "core/report/examples.h"
#include "core/report/write_up/document.h"
#include "core/report/write_up/study.h"

/// The chapters of a write-up, in their order. Every number comes from the study; nothing is worked out here
/// but sums of counts.
namespace beatwitness::report {

// What was studied (about_sections.cpp).
[[nodiscard]] std::vector<Section> summarySections(const Study& study);
[[nodiscard]] std::vector<Section> questionSections(const Study& study);
[[nodiscard]] std::vector<Section> materialSections(const Study& study);

// How (methods_section.cpp).
[[nodiscard]] std::vector<Section> methodsSections(const Study& study);
[[nodiscard]] std::vector<Section> exclusionSections(const Study& study);

// What came out (results_sections.cpp, verdict_sections.cpp).
[[nodiscard]] std::vector<Section> resultSections(const Study& study);
[[nodiscard]] std::vector<Section> verdictSections(const Study& study);
[[nodiscard]] std::vector<Section> comparisonSections(const Study& study);
[[nodiscard]] std::vector<Section> attributionSections(const Study& study);
[[nodiscard]] std::vector<Section> exampleSections(const Study& study, const Examples& examples);

// What it does not say (limits_section.cpp).
[[nodiscard]] std::vector<Section> limitsSections(const Study& study);

// For looking up (session_appendix.cpp, appendix_sections.cpp).
[[nodiscard]] std::vector<Section> sessionAppendix(const Study& study);
[[nodiscard]] std::vector<Section> checklistSections(const Study& study);
[[nodiscard]] std::vector<Section> settingsSections(const Study& study);
[[nodiscard]] std::vector<Section> recordingsSections(const Study& study);

/// A picture to be made by makeFigure(): name, request, caption to stand before the figure's own.
[[nodiscard]] Picture pictureOf(const Study& study, FigureKind kind, std::string name,
                                std::vector<std::string> devices = {});

}  // namespace beatwitness::report
