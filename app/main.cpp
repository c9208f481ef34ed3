#include <iostream>
#include <string>
#include <vector>

#include "app/verbs/command_line.h"
#ifdef BEATWITNESS_WORKSTATION
#include "app/workstation.h"
#endif

int main(int argc, char** argv) {
    std::ios::sync_with_stdio(false);
    const std::vector<std::string> words(argv + 1, argv + argc);
#ifdef BEATWITNESS_WORKSTATION
    // The verbs come first: they create no QApplication, so they work where there is no display.
    if (words.empty() || !beatwitness::verbs::isVerb(words.front()))
        return beatwitness::runWorkstation(argc, argv);
#endif
    return static_cast<int>(beatwitness::verbs::runCommandLine(words, {std::cout, std::cerr}));
}
