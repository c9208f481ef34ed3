#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/foundation/result.h"

namespace beatwitness {

/// How the workstation is started. All of it may be left out.
struct WorkstationOptions {
    enum class Theme { Light, Dark };
    enum class Page { Session, Agreement, Compare, Figures };

    std::vector<std::string> files;  ///< opened as if dropped; used when `reference` is empty
    std::string reference;           ///< roles known beforehand
    std::vector<std::string> tests;
    std::vector<std::string> contexts;
    bool samplePair = false;     ///< open the sample pair, when there is neither files nor reference
    bool sampleLibrary = false;  ///< likewise the user's copy of the sample library

    // For pictures of the program by the program: it loads, waits until the analysis is shown, saves the
    // window as PNG and ends. Settings of the user are neither read nor written then.
    std::string shot;
    int width = 1400;
    int height = 860;
    std::optional<Theme> theme;  ///< unset: the user's choice, else the system's
    Page page = Page::Session;
    std::optional<bool> aligned;     ///< unset: aligned where possible
    std::optional<double> cursor_s;  ///< session time
};

/// From the words after the program's name:
///   [FILE …] | LIBRARY.beatwitness | --reference FILE --test FILE … [--context FILE …] | --sample |
///   --sample-library
///   [--shot FILE.png] [--size WxH] [--theme light|dark] [--page session|agreement|compare|figures]
///   [--aligned|--as-recorded]
///   [--cursor SECONDS]
/// A word "--" ends the options. Faults: WrongUsage.
[[nodiscard]] Result<WorkstationOptions> parseWorkstationOptions(std::span<const std::string> words);

}  // namespace beatwitness
