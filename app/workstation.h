#pragma once

namespace beatwitness {

/// Runs the window until it is closed, under the options among the arguments (Qt's own, such as -platform,
/// are taken out first; see workstation_options.h). Exit status: 0; 2 wrong usage or no display; 3 where a
/// picture could not be made of what was asked for. Sentences go to standard error.
[[nodiscard]] int runWorkstation(int argc, char** argv);

}  // namespace beatwitness
