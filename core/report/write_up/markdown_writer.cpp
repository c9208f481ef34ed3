#include "core/report/write_up/markdown_writer.h"

#include <fmt/format.h>

#include <cctype>

namespace beatwitness::report {
namespace {

using FileOf = std::function<std::string(const Picture&)>;

class Writer {
public:
    explicit Writer(const FileOf& fileOf) : fileOf_{fileOf} {}

    std::string operator()(const Paragraph& paragraph) {
        const auto text = (paragraph.lead.empty() ? "" : "**" + escapedMarkdown(paragraph.lead) + "** ") +
                          escapedMarkdown(paragraph.text);
        return (paragraph.kind == Paragraph::Kind::Verdict ? "> " : "") + text + "\n\n";
    }

    std::string operator()(const Bullets& bullets) {
        std::string text;
        for (const auto& item : bullets.items)
            text += fmt::format("- {}\n", escapedMarkdown(item));
        return text + "\n";
    }

    std::string operator()(const Table& table) {
        auto text = fmt::format("**Table {}.** {}\n\n|", ++tables_, escapedMarkdown(table.caption));
        for (const auto& column : table.columns)
            text += fmt::format(" {} |", escapedMarkdown(column.heading));
        text += "\n|";
        for (const auto& column : table.columns)
            text += column.number ? " ---: |" : " --- |";
        text += "\n";
        for (const auto& row : table.rows) {
            text += "|";
            for (const auto& cell : row)
                text += fmt::format(" {} |", escapedMarkdown(cell));
            text += "\n";
        }
        if (!table.note.empty()) text += fmt::format("\n{}\n", escapedMarkdown(table.note));
        return text + "\n";
    }

    std::string operator()(const Picture& picture) {
        return fmt::format("![{}]({})\n\n**Figure {}.** {}\n\n", escapedMarkdown(picture.description),
                           fileOf_(picture), ++figures_, escapedMarkdown(picture.caption));
    }

private:
    const FileOf& fileOf_;
    int tables_ = 0, figures_ = 0;
};

/// "1." and "1)" would begin a list.
bool beginsAList(std::string_view text) {
    std::size_t digits = 0;
    while (digits < text.size() && std::isdigit(static_cast<unsigned char>(text[digits])))
        ++digits;
    if (digits == 0 || digits == text.size() || (text[digits] != '.' && text[digits] != ')')) return false;
    return digits + 1 == text.size() || text[digits + 1] == ' ';
}

}  // namespace

std::string escapedMarkdown(std::string_view text) {
    constexpr std::string_view markup = "\\`*_{}[]<>|&~";
    std::string escaped;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const bool opens = i == 0 && (c == '#' || c == '-' || c == '+' || c == '=');
        if (markup.find(c) != std::string_view::npos || opens) escaped += '\\';
        escaped += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
    }
    if (beginsAList(escaped)) escaped.insert(escaped.find_first_of(".)"), 1, '\\');
    return escaped;
}

std::string markdownOf(const WriteUp& document, const FileOf& fileOf) {
    auto text =
        fmt::format("# {}\n\n{}\n\n", escapedMarkdown(document.title), escapedMarkdown(document.subtitle));
    for (const auto& line : document.byline)
        text += escapedMarkdown(line) + "\n\n";
    Writer write{fileOf};
    for (const auto& section : document.sections) {
        text += fmt::format("{} {}\n\n", section.level == 1 ? "##" : "###", escapedMarkdown(section.title));
        for (const auto& block : section.blocks)
            text += std::visit(write, block);
    }
    return text;
}

}  // namespace beatwitness::report
