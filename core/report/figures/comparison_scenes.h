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
/// Values with intervals, row by row, a mark per device. `axis` names the number with its unit. `floor`: how
/// far two references are apart, tinted behind every device.
[[nodiscard]] Scene intervalsScene(std::span<const Estimate> estimates, const std::string& axis,
                                   const std::optional<SetLimit>& limit, const std::optional<SetLimit>& floor,
                                   const FigureWords& words);

/// One figure under one set of choices, or without one session.
struct Standing {
    std::string panel;  ///< clock and reference faults; of sessions left out: the same for all
    std::string row;    ///< epoch, or the session left out
    std::string note;   ///< at the right end: the verdict
    double value = 0.0;
    std::optional<std::array<double, 2>> interval;
    bool chosen = false;  ///< the choices of the question itself
};
/// Whether a figure hangs on choices: above a panel a clock and choice of faults, two beside each other, with
/// a row an epoch; below without each session. One scale for all.
[[nodiscard]] Scene standingScene(std::span<const Standing> choices, std::span<const Standing> without,
                                  const std::string& axis, const std::optional<SetLimit>& limit,
                                  int deviceIndex, const FigureWords& words);

/// Sessions of one device along the calendar, and what stretches of them come to.
struct DatedSession {
    double day = 0.0;  ///< since 1970, UTC
    double value = 0.0;
};
struct DatedSpan {
    std::string label;  ///< "firmware 2.5", "2031"
    double firstDay = 0.0, lastDay = 0.0;
    double value = 0.0;
    std::optional<std::array<double, 2>> interval;
};
struct DatedDevice {
    std::string device;
    int deviceIndex = 0;
    std::vector<DatedSession> sessions;
    std::vector<DatedSpan> spans;  ///< by first day
};
/// A panel a device on one calendar and one scale of values: a mark a session, a line and band a stretch.
[[nodiscard]] Scene overTimeScene(std::span<const DatedDevice> devices, const std::string& axis,
                                  const std::optional<SetLimit>& limit, const FigureWords& words);

/// The interval that so many sessions would give, over their number, against a limit.
struct PlannedCurve {
    double expected = 0.0, limit = 0.0;
    std::vector<double> units, lower, upper;
    std::optional<double> needed;  ///< from here on the interval decides
};
[[nodiscard]] Scene plannedScene(const PlannedCurve& curve, const std::string& axis,
                                 const FigureWords& words);

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
