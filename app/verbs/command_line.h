#pragma once

#include <span>
#include <string>

#include "app/verbs/figure_words.h"
#include "app/verbs/report_words.h"
#include "app/verbs/verb.h"

namespace beatwitness::verbs {

/// True where `word` names a verb (or asks for --help or --version): then no window opens.
[[nodiscard]] bool isVerb(const std::string& word);

/// Runs the verb in `words` (without the program's name). `draw` serves `figure` and `write` `report`; without them
/// (a build without a window) these verbs say that they cannot.
[[nodiscard]] ExitCode runCommandLine(std::span<const std::string> words, const Streams& streams,
                                      const DrawFigure& draw = {}, const WriteReport& write = {});

}  // namespace beatwitness::verbs
