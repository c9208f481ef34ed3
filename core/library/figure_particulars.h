#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/library/ids.h"

namespace beatwitness::library {

/// What a figure shows. Words are those of the batch contract, so that a figure of a later program is kept
/// as it is.
struct FigureContent {
    std::string kind = "overlay";        ///< `overlay`, `map`, …
    std::optional<SessionId> session;    ///< of kinds that show one; nothing: the first of the project
    std::vector<DeviceId> devices;       ///< ascending; empty: all
    std::vector<ActivityId> activities;  ///< likewise
    bool aligned = true;                 ///< else as recorded
    bool excludeReferenceFaults = true;
    int epoch_s = 1;
    std::optional<double> begin_s, end_s;  ///< part of the session, in session time
    bool flags = true, phases = true, pins = true, errorStrip = true;  ///< of an overlay
    bool mapBeside = false;     ///< likewise: the agreement map at its right
    std::string scale = "log";  ///< of counts in maps: `log`, `cube-root`, `linear`
    friend bool operator==(const FigureContent&, const FigureContent&) = default;
};

/// Texts in place of the program's own, where not empty.
struct FigureTexts {
    std::string title, subtitle, caption;
    friend bool operator==(const FigureTexts&, const FigureTexts&) = default;
};

struct FigureLook {
    bool dark = false, transparent = false, grey = false;
    std::string size = "1080p";  ///< `1080p`, `4k`, `vertical`, `85mm`, `1280x720`
    int dpi = 300;               ///< of a PNG whose size is in mm
    friend bool operator==(const FigureLook&, const FigureLook&) = default;
};

/// A figure of a project: a definition, never a picture, so that it tells of new data by itself.
struct FigureParticulars {
    ProjectId project;
    int place = 0;  ///< among the project's figures, ascending; equal places by number
    std::string name;
    FigureContent content;
    FigureTexts texts;
    FigureLook look;
    bool deleted = false;
    friend bool operator==(const FigureParticulars&, const FigureParticulars&) = default;
};

}  // namespace beatwitness::library
