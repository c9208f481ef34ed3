#pragma once

#include "app/workstation_options.h"

namespace beatwitness {

/// Runs the window until it is closed, under the options among the arguments (Qt's own, such as -platform,
/// are taken out first). Exit status: 0; 2 wrong usage; 3 where a picture could not be made of what was asked
/// for. Sentences go to standard error.
[[nodiscard]] int runWorkstation(int argc, char** argv);

/// The same under options that were read elsewhere.
[[nodiscard]] int runWorkstation(int argc, char** argv, const WorkstationOptions& options);

}  // namespace beatwitness

namespace beatwitness::app {
using beatwitness::runWorkstation;
using beatwitness::WorkstationOptions;
}  // namespace beatwitness::app
