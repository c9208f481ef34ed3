#pragma once

#include "app/verbs/figure_words.h"

namespace beatwitness {

/// `figure`: makes the scene from the library, draws it without a display and writes the file.
/// Requires: no QApplication yet.
[[nodiscard]] verbs::ExitCode drawFigure(const verbs::FigureArguments& arguments,
                                         const verbs::Streams& streams);

}  // namespace beatwitness
