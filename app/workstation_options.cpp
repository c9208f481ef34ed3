#include "app/workstation_options.h"

#include <charconv>
#include <cmath>

namespace beatwitness {
namespace {

Fault wrong(std::string message) {
    return {FaultCode::WrongUsage, std::move(message), {}, {}, {}};
}

template <class Number>
std::optional<Number> wholeNumber(std::string_view text) {
    Number number{};
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return number;
}

bool readSize(const std::string& text, WorkstationOptions& options) {
    constexpr int largest_px = 16384;
    const auto cross = text.find('x');
    if (cross == std::string::npos) return false;
    const auto width = wholeNumber<int>(std::string_view(text).substr(0, cross));
    const auto height = wholeNumber<int>(std::string_view(text).substr(cross + 1));
    if (!width || !height || *width < 1 || *height < 1 || *width > largest_px || *height > largest_px)
        return false;
    options.width = *width;
    options.height = *height;
    return true;
}

bool readCursor(const std::string& text, WorkstationOptions& options) {
    options.cursor_s = wholeNumber<double>(text);
    return options.cursor_s && std::isfinite(*options.cursor_s);
}

bool readTheme(const std::string& text, WorkstationOptions& options) {
    if (text != "light" && text != "dark") return false;
    options.theme = text == "dark" ? WorkstationOptions::Theme::Dark : WorkstationOptions::Theme::Light;
    return true;
}

bool readPage(const std::string& text, WorkstationOptions& options) {
    if (text != "session" && text != "agreement") return false;
    options.page =
        text == "session" ? WorkstationOptions::Page::Session : WorkstationOptions::Page::Agreement;
    return true;
}

/// Options without a value.
bool readSwitch(const std::string& name, WorkstationOptions& options) {
    if (name == "--sample")
        options.samplePair = true;
    else if (name == "--aligned")
        options.aligned = true;
    else if (name == "--as-recorded")
        options.aligned = false;
    else
        return false;
    return true;
}

/// What an option takes, for the sentence about a wrong one; nullptr for an unknown option.
const char* expectedBy(const std::string& name) {
    if (name == "--reference" || name == "--test" || name == "--context" || name == "--shot") return "a file";
    if (name == "--size") return "a size in pixels such as 1400x860";
    if (name == "--theme") return "light or dark";
    if (name == "--page") return "session or agreement";
    if (name == "--cursor") return "a number of seconds";
    return nullptr;
}

bool readValue(const std::string& name, const std::string& value, WorkstationOptions& options) {
    if (value.empty()) return false;
    if (name == "--size") return readSize(value, options);
    if (name == "--theme") return readTheme(value, options);
    if (name == "--page") return readPage(value, options);
    if (name == "--cursor") return readCursor(value, options);
    if (name == "--reference") options.reference = value;
    if (name == "--shot") options.shot = value;
    if (name == "--test") options.tests.push_back(value);
    if (name == "--context") options.contexts.push_back(value);
    return true;
}

}  // namespace

Result<WorkstationOptions> parseWorkstationOptions(std::span<const std::string> words) {
    WorkstationOptions options;
    bool onlyFiles = false;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const auto& word = words[i];
        if (onlyFiles || !word.starts_with("--")) {
            options.files.push_back(word);
        } else if (word == "--") {
            onlyFiles = true;
        } else if (!readSwitch(word, options)) {
            const char* expected = expectedBy(word);
            if (!expected) return wrong("the workstation knows no option \"" + word + "\"");
            if (i + 1 == words.size() || !readValue(word, words[i + 1], options))
                return wrong("the option " + word + " expects " + expected);
            ++i;
        }
    }
    if (options.reference.empty() != options.tests.empty())
        return wrong("--reference and --test belong together: give both or neither");
    return options;
}

}  // namespace beatwitness
