#include <filesystem>
#include <iostream>
#include <string>
#include <vector>

#include "app/verbs/command_line.h"
#ifdef BEATWITNESS_WORKSTATION
#include "app/figure_drawing.h"
#include "app/report_drawing.h"
#include "app/workstation.h"
#endif

namespace {

using namespace beatwitness;

/// Without words, with options of its own, or with recordings to open, the window comes up. Anything else is
/// meant as a verb, and a misspelt one must not open a window.
[[maybe_unused]] bool opensTheWindow(const std::vector<std::string>& words) {
    if (words.empty()) return true;
    const auto& first = words.front();
    if (verbs::isVerb(first)) return false;
    return first.starts_with('-') || std::filesystem::exists(first);
}

}  // namespace

int main(int argc, char** argv) {
    std::ios::sync_with_stdio(false);
    const std::vector<std::string> words(argv + 1, argv + argc);
#ifdef BEATWITNESS_WORKSTATION
    // Asked before any QApplication: the verbs work where there is no display.
    if (opensTheWindow(words)) return runWorkstation(argc, argv);
    const verbs::DrawFigure draw = drawFigure;
    const verbs::WriteReport write = drawReport;
#else
    const verbs::DrawFigure draw;
    const verbs::WriteReport write;
#endif
    return static_cast<int>(verbs::runCommandLine(words, {std::cout, std::cerr}, draw, write));
}
