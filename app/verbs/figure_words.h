#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/verbs/verb.h"
#include "core/report/examples.h"
#include "core/report/figures/figure_request.h"

namespace CLI {
class App;
}

namespace beatwitness::verbs {

struct FigureArguments {
    std::string library;
    report::FigureRequest request;
    std::optional<report::ExampleAsk> example;  ///< chosen by rule from the sessions of the request
    std::string size = "1080p";
    bool dark = false;
    bool transparent = false;
    bool grey = false;
    int dpi = 300;
    /// Frames a second of a film; empty: a still.
    std::string motion;
    std::optional<double> motionLength_s;  ///< nothing: a minute of the session in a second
    report::MotionStyle motionStyle = report::MotionStyle::Grow;
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
    [[nodiscard]] Result<std::optional<report::ExampleAsk>> example() const;

    std::string example_, metric_ = "mae_bpm", flag_;
    std::string kind_, theme_ = "light", clock_ = "aligned", referenceFaults_ = "exclude", scale_ = "log",
                       motionStyle_ = "grow";
    std::vector<std::string> shown_{"flags", "phases", "pins", "errors"};
    double begin_s_ = 0.0, end_s_ = 0.0, motionLength_s_ = 0.0;
    bool hasBegin_ = false, hasEnd_ = false, hasLength_ = false;
};

}  // namespace beatwitness::verbs
