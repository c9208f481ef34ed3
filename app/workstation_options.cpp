#include "app/workstation_options.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <cstdio>

namespace beatwitness {
namespace {

Fault wrong(std::string message) {
    return {FaultCode::WrongUsage, std::move(message), {}, {}, {}};
}

bool readSize(const std::string& text, WorkstationOptions& options) {
    int width = 0, height = 0;
    char rest = 0;
    if (std::sscanf(text.c_str(), "%5dx%5d%c", &width, &height, &rest) != 2) return false;
    if (width < 1 || height < 1 || width > 16384 || height > 16384) return false;
    options.width = width;
    options.height = height;
    return true;
}

/// What stands as text or switches until all words are read.
struct Words {
    std::string size, theme, page;
    bool aligned = false;
    bool asRecorded = false;
    double cursor_s = 0.0;
    CLI::Option* cursor = nullptr;
};

void declare(CLI::App& app, WorkstationOptions& options, Words& words) {
    app.add_option("FILE", options.files);
    app.add_option("--reference", options.reference);
    app.add_option("--test", options.tests);
    app.add_option("--context", options.contexts);
    app.add_flag("--sample", options.samplePair);
    app.add_flag("--sample-library", options.sampleLibrary);
    app.add_option("--shot", options.shot);
    app.add_option("--size", words.size);
    app.add_option("--theme", words.theme)->check(CLI::IsMember({"light", "dark"}));
    app.add_option("--page", words.page)->check(CLI::IsMember({"session", "agreement", "compare", "figures"}));
    auto* aligned = app.add_flag("--aligned", words.aligned);
    app.add_flag("--as-recorded", words.asRecorded)->excludes(aligned);
    words.cursor = app.add_option("--cursor", words.cursor_s);
}

}  // namespace

Result<WorkstationOptions> parseWorkstationOptions(std::span<const std::string> spoken) {
    WorkstationOptions options;
    Words words;
    CLI::App app;
    declare(app, options, words);
    try {
        app.parse(std::vector<std::string>(spoken.rbegin(), spoken.rend()));
    } catch (const CLI::ParseError& error) {
        return wrong(fmt::format("{} (beatwitness --help lists what can be asked)", error.what()));
    }
    if (!words.size.empty() && !readSize(words.size, options))
        return wrong("--size takes WIDTHxHEIGHT in pixels, for example 1366x768");
    if (!std::isfinite(words.cursor_s)) return wrong("--cursor takes a number of seconds");
    if (options.reference.empty() && !(options.tests.empty() && options.contexts.empty()))
        return wrong("--test and --context need --reference FILE");
    if (!options.reference.empty() && options.tests.empty())
        return wrong("--reference needs at least one --test FILE");
    if (!words.theme.empty())
        options.theme =
            words.theme == "dark" ? WorkstationOptions::Theme::Dark : WorkstationOptions::Theme::Light;
    if (words.page == "agreement") options.page = WorkstationOptions::Page::Agreement;
    if (words.page == "compare") options.page = WorkstationOptions::Page::Compare;
    if (words.page == "figures") options.page = WorkstationOptions::Page::Figures;
    if (words.aligned || words.asRecorded) options.aligned = words.aligned;
    if (words.cursor->count() > 0) options.cursor_s = words.cursor_s;
    return options;
}

}  // namespace beatwitness
