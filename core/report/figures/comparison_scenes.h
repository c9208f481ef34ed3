#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/agreement/attribution.h"
#include "core/report/figures/agreement_scenes.h"
#include "core/report/scene.h"

/// Figures that set devices, activities and choices beside each other.
namespace beatwitness::report {

/// A limit that somebody set, drawn through the figure.
struct SetLimit {
    double value = 0.0;
    std::string label;  ///< "limit set"
};

struct Estimate {
    std::string row;  ///< activity, choice, …; rows in the order of first mention
    std::string device;
    int deviceIndex = 0;
    double value = 0.0;
    std::optional<std::array<double, 2>> interval;
    std::string note;  ///< at the right end, such as "6 sessions"
};
/// Values with intervals, row by row, a mark per device. `axis` names the number with its unit.
[[nodiscard]] Scene intervalsScene(std::span<const Estimate> estimates, const std::string& axis,
                                   const std::optional<SetLimit>& limit, const FigureWords& words);

struct PairedRow {
    std::string row;
    std::vector<double> sessions;  ///< a - b, one a session
    std::optional<double> mean;
    std::optional<std::array<double, 2>> interval;
};
/// Difference of two devices session by session; left of zero `a` errs less.
[[nodiscard]] Scene pairedScene(std::span<const PairedRow> rows, const std::string& a, const std::string& b,
                                const FigureWords& words);

struct AttributedDevice {
    std::string device;
    int deviceIndex = 0;
    std::vector<agreement::AttributionRow> rows;
};
/// Stacked bars: how much of each device's mean absolute error each failure kind accounts for.
[[nodiscard]] Scene attributionScene(std::span<const AttributedDevice> devices, const FigureWords& words);

/// Three numbers and a verdict.
[[nodiscard]] Scene cardScene(std::vector<Statement> statements, const std::string& verdict,
                              const FigureWords& words);

}  // namespace beatwitness::report
