#include "app/verbs/figure_words.h"

#include <CLI/CLI.hpp>
#include <cmath>

namespace beatwitness::verbs {
namespace {

std::string kindNames() {
    std::string names;
    for (const auto kind : report::allFigureKinds)
        names += (names.empty() ? "" : ", ") + std::string(report::figureKindName(kind));
    return names;
}

Fault wrong(std::string message) {
    return {FaultCode::WrongUsage, std::move(message), {}, {}, {}};
}

}  // namespace

void FigureWords::addTo(CLI::App& verb) {
    auto& request = figure_.request;
    verb.add_option("--library", figure_.library, "the library")->required();
    verb.add_option("--project", request.project, "the project")->required();
    verb.add_option("--kind", kind_, "one of " + kindNames())->required();
    verb.add_option("--session", request.session,
                    "the session an overlay or loss curve shows; else the first");
    verb.add_option("--device", request.devices, "only this test device; may be repeated");
    verb.add_option("--activity", request.activities, "only this activity; may be repeated");
    verb.add_option("--clock", clock_, "aligned or as_recorded")
        ->check(CLI::IsMember({"aligned", "as_recorded"}));
    verb.add_option("--epoch", request.epoch_s, "seconds averaged before comparing: 1 to 60")
        ->check(CLI::Range(1, 60));
    verb.add_option("--reference-faults", referenceFaults_, "exclude or keep")
        ->check(CLI::IsMember({"exclude", "keep"}));
    verb.add_option_function<double>(
        "--from", [this](double value) { begin_s_ = value, hasBegin_ = true; },
        "first second of session time that an overlay shows");
    verb.add_option_function<double>(
        "--to", [this](double value) { end_s_ = value, hasEnd_ = true; },
        "last second of session time that an overlay shows");
    verb.add_option("--title", request.title, "in place of the program's own title");
    verb.add_option("--size", figure_.size,
                    "1080p, 4k, vertical, a width such as 85mm, or pixels such as 1920x1080");
    verb.add_option("--theme", theme_, "light or dark")->check(CLI::IsMember({"light", "dark"}));
    verb.add_flag("--transparent", figure_.transparent, "no paper behind the figure");
    verb.add_flag("--grey", figure_.grey, "as a black-and-white printer would show it");
    verb.add_option("--dpi", figure_.dpi, "dots an inch of a PNG whose width is in mm: 72 to 1200");
    verb.add_option("--out", figure_.out, "the file to write: .png, .svg or .pdf")->required();
}

Result<FigureArguments> FigureWords::arguments() const {
    FigureArguments arguments = figure_;
    const auto kind = report::figureKindOf(kind_);
    if (!kind) return wrong("--kind takes one of " + kindNames() + ", not \"" + kind_ + "\"");
    arguments.request.kind = *kind;
    arguments.dark = theme_ == "dark";
    arguments.request.clock =
        clock_ == "aligned" ? evaluation::Clock::Aligned : evaluation::Clock::AsRecorded;
    arguments.request.excludeReferenceFaults = referenceFaults_ == "exclude";
    if (hasBegin_) arguments.request.begin_s = begin_s_;
    if (hasEnd_) arguments.request.end_s = end_s_;
    if ((hasBegin_ && !std::isfinite(begin_s_)) || (hasEnd_ && !std::isfinite(end_s_)) ||
        (hasBegin_ && hasEnd_ && end_s_ <= begin_s_))
        return wrong("--to must lie behind --from, both in seconds of session time");
    return arguments;
}

}  // namespace beatwitness::verbs
