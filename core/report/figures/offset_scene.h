#pragma once

#include <optional>
#include <span>
#include <string>

#include "core/report/figures/agreement_scenes.h"
#include "core/report/scene.h"

/// Clock offsets of devices over their sessions: an error of the clock jumps about from session to session, a
/// delay of the device's own stays.
namespace beatwitness::report {

struct SessionOffset {
    std::string session;  ///< rows in the order of first mention
    std::string device;
    int deviceIndex = 0;
    std::optional<double> offset_s;  ///< nothing where alignment was refused: it is named, not drawn
};

/// An offset less the whole half hours nearest to it: those are a zone or summer time set wrongly, and would
/// hide what is left.
struct SplitOffset {
    double halfHours_s = 0.0;  ///< a multiple of 1800
    double rest_s = 0.0;       ///< -900 to 900
};
[[nodiscard]] SplitOffset splitOffset(double offset_s);

/// A row per session, a mark per device at the rest of its offset, and each device's median across.
[[nodiscard]] Scene offsetsScene(std::span<const SessionOffset> offsets, const FigureWords& words);

}  // namespace beatwitness::report
