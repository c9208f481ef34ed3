#pragma once

#include <string>

#include "app/verbs/verb.h"

namespace CLI {
class App;
}

namespace beatwitness::verbs {

struct ShareArguments {
    std::string library, project;
    std::string as;   ///< report::shareKindName()
    std::string out;  ///< file or folder
};

/// The options of `share`.
void addShareOptions(CLI::App& verb, ShareArguments& share);

/// Writes part of a library for others, and says what was written.
[[nodiscard]] ExitCode shareProject(const ShareArguments& arguments, const Streams& streams);

}  // namespace beatwitness::verbs
