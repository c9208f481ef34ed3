#pragma once

#include <functional>
#include <string>

#include "app/verbs/verb.h"
#include "core/report/figures/figure_request.h"

namespace CLI {
class App;
}

namespace beatwitness::verbs {

struct FigureArguments {
    std::string library;
    report::FigureRequest request;
    std::string size = "1080p";
    bool dark = false;
    bool transparent = false;
    bool grey = false;
    int dpi = 300;
    std::string out;
};

/// Draws and writes the figure; comes from the build that can draw.
using DrawFigure = std::function<ExitCode(const FigureArguments&, const Streams&)>;

/// The options of `figure`.
class FigureWords {
public:
    void addTo(CLI::App& verb);
    /// Faults: WrongUsage.
    [[nodiscard]] Result<FigureArguments> arguments() const;

private:
    FigureArguments figure_;
    std::string kind_, theme_ = "light", clock_ = "aligned", referenceFaults_ = "exclude";
    double begin_s_ = 0.0, end_s_ = 0.0;
    bool hasBegin_ = false, hasEnd_ = false;
};

}  // namespace beatwitness::verbs
