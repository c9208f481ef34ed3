#include "core/recording/text_recording.h"

#include "core/recording/text_collector.h"
#include "core/recording/text_encoding.h"
#include "core/recording/text_paced.h"
#include "core/recording/text_plan.h"

namespace beatwitness::recording {
namespace {

std::string_view withoutLeadingBlanks(std::string_view text) {
    const std::size_t first = text.find_first_not_of(" \t\r\n");
    return first == std::string_view::npos ? std::string_view{} : text.substr(first);
}

/// Text that has a grammar of its own, by how it begins: a sentence for people, nullptr for anything else.
const char* otherGrammar(std::string_view text) {
    const std::string_view start = withoutLeadingBlanks(text);
    if (start.empty())
        return "the text holds nothing but blanks; a table with a time and a heart rate was expected";
    if (start[0] == '<')
        return "the text begins like XML, of a kind that is not read; a table with a time and a heart rate "
               "was expected";
    if (start[0] == '{')
        return "the text begins like JSON, of a kind that is not read; a table with a time and a heart rate "
               "was expected";
    if (start[0] != '[') return nullptr;
    const std::string_view inside = withoutLeadingBlanks(start.substr(1));
    const bool isJson =
        inside.empty() || std::string_view{"{[\"-0123456789]tfn"}.find(inside[0]) != std::string_view::npos;
    // "[time],[hr]" is a header; "[Params]" alone in its line is a section.
    const std::string_view line = start.substr(0, start.find_first_of("\r\n"));
    const bool isSection =
        line.size() > 2 && line.back() == ']' &&
        line.substr(1, line.size() - 2).find_first_of("[]{}\",:") == std::string_view::npos;
    if (isSection)
        return "the text begins with a section in brackets, of a kind that is not read; a table with a time "
               "and a heart rate was expected";
    return isJson && line.find("],[") == std::string_view::npos
               ? "the text begins like JSON, of a kind that is not read; a table with a time and a heart "
                 "rate was expected"
               : nullptr;
}

}  // namespace

bool looksLikeText(std::span<const std::byte> bytes) {
    return text::beginsLikeText(bytes);
}

Result<Recording> readText(std::span<const std::byte> bytes, const ReadOptions& options,
                           const RunControl& run) {
    if (run.stopRequested()) return cancelled();
    const text::DecodedText decoded = text::decodeText(bytes);
    const std::string_view content = decoded.view();
    if (const char* message = otherGrammar(content))
        return Fault{FaultCode::UnknownFormat, message, {}, {}, 1};
    if (!options.timeColumn && text::looksPaced(content)) {
        const auto zone = text::zoneAsked(options.zone);
        return zone ? text::readPaced(content, *zone, run) : zone.fault();
    }
    auto plan = text::planTable(content, options);
    if (!plan) return plan.fault();
    auto recording = text::collectRows(content, *std::move(plan), run);
    if (recording && decoded.isConverted) recording->guessed.emplace_back("encoding", decoded.encoding);
    return recording;
}

}  // namespace beatwitness::recording
