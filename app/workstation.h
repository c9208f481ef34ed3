#pragma once

#include <optional>
#include <string>
#include <vector>

namespace beatwitness::app {

/// How the workstation is started. All of it may be left out.
struct WorkstationOptions {
    enum class Theme { Light, Dark };
    enum class Page { Session, Agreement };

    std::vector<std::string> files;  ///< opened as if dropped; used when `reference` is empty
    std::string reference;           ///< roles known beforehand
    std::vector<std::string> tests;
    std::vector<std::string> contexts;
    bool samplePair = false;  ///< open the sample pair, when there is neither files nor reference

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

/// Runs the window until it is closed. Returns the exit status: 0, or 3 where a picture could not be made of
/// what was asked for (the sentence goes to standard error).
[[nodiscard]] int runWorkstation(int argc, char** argv, const WorkstationOptions& options);

}  // namespace beatwitness::app
