#pragma once

#include <QString>
#include <optional>
#include <utility>
#include <vector>

#include "core/trace/phases.h"

/// What people marked on a session, as the timeline shows it. Seconds are session time.
namespace beatwitness::widgets {

struct PhaseBar {
    double begin_s = 0.0, end_s = 0.0;
    trace::PhaseKind kind = trace::PhaseKind::Other;
    int level = 0;
    QString label;
    bool overruns = false;  ///< lies partly outside the session

    friend bool operator==(const PhaseBar&, const PhaseBar&) = default;
};

struct PinMark {
    double at_s = 0.0;
    QString note;

    friend bool operator==(const PinMark&, const PinMark&) = default;
};

using Stretch = std::pair<double, double>;  ///< begin and end

struct TimelineMarks {
    std::vector<PhaseBar> phases;     ///< in the order of the plan
    std::vector<PhaseBar> proposals;  ///< not taken over yet
    std::optional<int> selectedPhase;
    std::vector<PinMark> pins;    ///< by instant
    std::vector<Stretch> lit;     ///< seconds that pass the filter, where there is one
    bool filtered = false;        ///< there is a filter
    std::vector<double> anchors;  ///< further seconds that edges snap to: laps, changes of the reference

    friend bool operator==(const TimelineMarks&, const TimelineMarks&) = default;
};

/// "warm-up", "effort", … in the language of the screen.
[[nodiscard]] QString phaseName(trace::PhaseKind kind);

}  // namespace beatwitness::widgets
