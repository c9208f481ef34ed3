#include "app/verbs/figure_words.h"

#include <CLI/CLI.hpp>
#include <algorithm>
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
    verb.add_option("--show", shown_,
                    "what an overlay shows beside its traces: flags, phases, pins, errors, map, or none")
        ->delimiter(',')
        ->check(CLI::IsMember({"flags", "phases", "pins", "errors", "map", "none"}));
    verb.add_option("--scale", scale_, "of the counts in a map: log, cube-root or linear")
        ->check(CLI::IsMember({"log", "cube-root", "linear"}));
    verb.add_option("--subtitle", request.subtitle, "in place of the program's own subtitle");
    verb.add_option(
            "--example", example_,
            "typical, best or worst: the session of one device that the rule chooses, by --metric, or with "
            "--flag the stretch")
        ->check(CLI::IsMember({"typical", "best", "worst"}));
    verb.add_option("--metric", metric_, "what --example goes by: mae_bpm, mape_pct, within_5_bpm_pct, …");
    verb.add_option("--flag", flag_, "an example of this kind of flag: half-rate, lag, …");
    verb.add_option("--title", request.title, "in place of the program's own title");
    verb.add_option("--size", figure_.size,
                    "1080p, 4k, vertical, a width such as 85mm, or pixels such as 1920x1080");
    verb.add_option("--theme", theme_, "light or dark")->check(CLI::IsMember({"light", "dark"}));
    verb.add_flag("--transparent", figure_.transparent, "no paper behind the figure");
    verb.add_flag("--grey", figure_.grey, "as a black-and-white printer would show it");
    verb.add_option("--dpi", figure_.dpi, "dots an inch of a PNG whose width is in mm: 72 to 1200");
    verb.add_option("--motion", figure_.motion,
                    "a film of so many frames a second: 24, 25, 30, 50, 60, 23.976, 29.97 or 59.94");
    verb.add_option_function<double>(
        "--motion-length", [this](double value) { motionLength_s_ = value, hasLength_ = true; },
        "seconds that the film lasts: 0.5 to 600; else a minute of the session in a second, 5 to 60");
    verb.add_option("--motion-style", motionStyle_, "grow: the traces grow; cursor: a cursor travels")
        ->check(CLI::IsMember({"grow", "cursor"}));
    verb.add_option(
            "--out", figure_.out,
            "the file to write: .png, .svg or .pdf; with --motion .png for numbered pictures, .mp4, .mov "
            "or .webm")
        ->required();
}

Result<std::optional<report::ExampleAsk>> FigureWords::example() const {
    using Asked = std::optional<report::ExampleAsk>;
    if (example_.empty() && flag_.empty()) return Asked{};
    if (kind_ != "overlay") return wrong("--example and --flag are for --kind overlay");
    report::ExampleAsk ask;
    ask.rule =
        report::exampleRuleOf(example_.empty() ? "worst" : example_).value_or(report::ExampleRule::Worst);
    const auto* facts = agreement::metricOfKey(metric_);
    if (facts == nullptr) return wrong("--metric takes a metric such as mae_bpm, not \"" + metric_ + "\"");
    ask.metric = facts->metric;
    if (flag_.empty()) return Asked{ask};
    ask.flag = flags::flagKindOf(flag_);
    if (!ask.flag) return wrong("--flag takes a kind of flag such as half-rate, not \"" + flag_ + "\"");
    return Asked{ask};
}

Result<FigureArguments> FigureWords::arguments() const {
    FigureArguments arguments = figure_;
    const auto kind = report::figureKindOf(kind_);
    if (!kind) return wrong("--kind takes one of " + kindNames() + ", not \"" + kind_ + "\"");
    arguments.request.kind = *kind;
    auto asked = example();
    if (!asked) return asked.fault();
    arguments.example = *asked;
    arguments.dark = theme_ == "dark";
    arguments.request.clock =
        clock_ == "aligned" ? evaluation::Clock::Aligned : evaluation::Clock::AsRecorded;
    const auto shows = [this](const char* what) { return std::ranges::find(shown_, what) != shown_.end(); };
    arguments.request.flags = shows("flags");
    arguments.request.phases = shows("phases");
    arguments.request.pins = shows("pins");
    arguments.request.errorStrip = shows("errors");
    arguments.request.mapBeside = shows("map");
    arguments.request.scale = report::scaleOf(scale_).value_or(report::Cells::Scale::Log);
    arguments.motionStyle =
        motionStyle_ == "cursor" ? report::MotionStyle::Cursor : report::MotionStyle::Grow;
    if (hasLength_) arguments.motionLength_s = motionLength_s_;
    if (hasLength_ && !(motionLength_s_ >= 0.5 && motionLength_s_ <= 600.0))
        return wrong("--motion-length takes 0.5 to 600 seconds");
    arguments.request.excludeReferenceFaults = referenceFaults_ == "exclude";
    if (hasBegin_) arguments.request.begin_s = begin_s_;
    if (hasEnd_) arguments.request.end_s = end_s_;
    if ((hasBegin_ && !std::isfinite(begin_s_)) || (hasEnd_ && !std::isfinite(end_s_)) ||
        (hasBegin_ && hasEnd_ && end_s_ <= begin_s_))
        return wrong("--to must lie behind --from, both in seconds of session time");
    return arguments;
}

}  // namespace beatwitness::verbs
