#include "app/start_line.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>

namespace beatwitness::app {
namespace {

Fault wrongUsage(std::string message) {
    return {FaultCode::WrongUsage, std::move(message), {}, {}, {}};
}

/// "1366x768" in logical pixels.
bool readSize(const std::string& text, WorkstationOptions& options) {
    int width = 0, height = 0;
    char rest = 0;
    if (std::sscanf(text.c_str(), "%5dx%5d%c", &width, &height, &rest) != 2) return false;
    if (width < 400 || height < 300 || width > 16384 || height > 16384) return false;
    options.width = width;
    options.height = height;
    return true;
}

}  // namespace

Result<WorkstationOptions> workstationOptions(std::span<const std::string> words) {
    WorkstationOptions options;
    std::string size, theme, page;
    bool aligned = false, asRecorded = false;
    double cursor_s = 0.0;
    CLI::App app;
    app.add_option("FILE", options.files);
    app.add_option("--reference", options.reference);
    app.add_option("--test", options.tests);
    app.add_option("--context", options.contexts);
    app.add_flag("--sample", options.samplePair);
    app.add_option("--shot", options.shot);
    app.add_option("--size", size);
    app.add_option("--theme", theme)->check(CLI::IsMember({"light", "dark"}));
    app.add_option("--page", page)->check(CLI::IsMember({"session", "agreement"}));
    auto* alignedFlag = app.add_flag("--aligned", aligned);
    app.add_flag("--as-recorded", asRecorded)->excludes(alignedFlag);
    auto* cursor = app.add_option("--cursor", cursor_s);
    try {
        app.parse(std::vector<std::string>(words.rbegin(), words.rend()));
    } catch (const CLI::ParseError& error) {
        return wrongUsage(fmt::format("{} (beatwitness --help lists what can be asked)", error.what()));
    }
    if (!size.empty() && !readSize(size, options))
        return wrongUsage("--size takes WIDTHxHEIGHT in pixels, for example 1366x768");
    if (!theme.empty())
        options.theme = theme == "dark" ? WorkstationOptions::Theme::Dark : WorkstationOptions::Theme::Light;
    if (page == "agreement") options.page = WorkstationOptions::Page::Agreement;
    if (aligned || asRecorded) options.aligned = aligned;
    if (cursor->count() > 0) options.cursor_s = cursor_s;
    return options;
}

}  // namespace beatwitness::app
