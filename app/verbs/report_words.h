#pragma once

#include <functional>
#include <string>

#include "app/verbs/verb.h"

namespace CLI {
class App;
}

namespace beatwitness::verbs {

struct ReportArguments {
    std::string library, project;
    std::string out;  ///< folder
};

/// Makes, draws and writes the write-up; comes from the build that can draw.
using WriteReport = std::function<ExitCode(const ReportArguments&, const Streams&)>;

/// The options of `report`.
void addReportOptions(CLI::App& verb, ReportArguments& report);

}  // namespace beatwitness::verbs
