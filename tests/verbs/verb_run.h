#pragma once

#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "app/verbs/command_line.h"

/// A verb as another program runs it: exit code, standard output, standard error.
namespace beatwitness::tests {

struct Ran {
    int code = -1;
    std::string out;
    std::string err;
    [[nodiscard]] nlohmann::json parsed() const { return nlohmann::json::parse(out); }
};

[[nodiscard]] inline Ran run(const std::vector<std::string>& words) {
    std::ostringstream out, err;
    const auto code = verbs::runCommandLine(words, {out, err});
    return {static_cast<int>(code), out.str(), err.str()};
}

}  // namespace beatwitness::tests
