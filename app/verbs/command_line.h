#pragma once

#include <span>
#include <string>

#include "app/verbs/verb.h"

namespace beatwitness::verbs {

/// True where `word` names a verb (or asks for --help or --version): then no window opens.
[[nodiscard]] bool isVerb(const std::string& word);

/// Runs the verb in `words` (without the program's name).
[[nodiscard]] ExitCode runCommandLine(std::span<const std::string> words, const Streams& streams);

}  // namespace beatwitness::verbs
