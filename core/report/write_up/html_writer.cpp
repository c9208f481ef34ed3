#include "core/report/write_up/html_writer.h"

#include <fmt/format.h>

#include <array>

namespace beatwitness::report {
namespace {

constexpr std::string_view style = R"css(
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 2.5rem 1.25rem 4rem; max-width: 54rem; background: #fff; color: #1c2430;
  font: 1rem/1.55 "Source Serif 4", "Noto Serif", "DejaVu Serif", Georgia, serif; }
h1, h2, h3, nav, table, figcaption, .byline, .verdict, footer {
  font-family: "Source Sans 3", "Noto Sans", "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
h1 { font-size: 1.9rem; line-height: 1.2; margin: 0 0 .3rem; }
.subtitle { font-size: 1.15rem; color: #44505f; margin: 0 0 1rem; }
.byline { color: #44505f; font-size: .86rem; line-height: 1.5; margin: 0 0 1.5rem; }
.byline p { margin: 0; }
h2 { font-size: 1.35rem; margin: 2.6rem 0 .6rem; padding-top: .5rem; border-top: 1px solid #c9d0d8; }
h3 { font-size: 1.05rem; margin: 1.8rem 0 .4rem; }
p, ul { margin: .6rem 0; max-width: 44rem; }
li { margin: .25rem 0; }
.note { color: #44505f; font-size: .9rem; }
.verdict { border-left: .25rem solid #2b5f8a; padding: .15rem 0 .15rem .9rem; font-size: 1.02rem; }
nav { background: #f4f6f8; border-radius: .4rem; padding: .8rem 1.1rem; font-size: .9rem; margin: 1.5rem 0; }
nav ol { margin: .2rem 0 0; padding-left: 1.3rem; columns: 2; }
nav a { color: #1f4e79; text-decoration: none; }
nav a:hover, nav a:focus { text-decoration: underline; }
.scroll { overflow-x: auto; margin: 1.2rem 0; }
.scroll .note { font-family: "Source Sans 3", "Noto Sans", "DejaVu Sans", "Liberation Sans", Arial, sans-serif;
  font-size: .8rem; margin: .35rem 0 0; }
table { border-collapse: collapse; font-size: .82rem; line-height: 1.35; width: 100%; }
table.small { font-size: .74rem; }
caption { text-align: left; font-size: .86rem; padding: 0 0 .45rem; color: #1c2430; }
th { text-align: left; vertical-align: bottom; border-bottom: 1.5px solid #1c2430; padding: .3rem .55rem .3rem 0;
  font-weight: 600; }
td { vertical-align: top; border-bottom: 1px solid #dde2e7; padding: .3rem .55rem .3rem 0; }
tbody th { border-bottom: 1px solid #dde2e7; font-weight: 400; vertical-align: top; }
td.n, th.n { text-align: right; font-variant-numeric: tabular-nums; }
.digest { overflow-wrap: anywhere; }
figure { margin: 1.6rem 0; }
figure img { display: block; height: auto; max-width: 100%; max-height: 60rem; }
figcaption { font-size: .86rem; line-height: 1.45; margin-top: .4rem; color: #1c2430; }
.count { font-weight: 600; }
footer { margin-top: 3rem; border-top: 1px solid #c9d0d8; padding-top: .8rem; font-size: .78rem; color: #44505f; }
@page { size: auto; margin: 18mm 16mm; }
@media print {
  body { max-width: none; padding: 0; font-size: 9.5pt; line-height: 1.4; }
  h1 { font-size: 18pt; } h2 { font-size: 13pt; margin-top: 16pt; } h3 { font-size: 10.5pt; }
  h2, h3, caption { break-after: avoid; }
  figure, tr, li, .verdict { break-inside: avoid; }
  thead { display: table-header-group; }
  p { orphans: 3; widows: 3; max-width: none; }
  .scroll { overflow: visible; }
  .whole { break-inside: avoid; }
  .scroll .note { font-size: 7.5pt; }
  figure img { max-height: 215mm; }
  figure { margin: 10pt 0; }
  figcaption, caption { font-size: 8pt; }
  table { font-size: 7.5pt; } table.small { font-size: 6.5pt; }
  nav { background: none; border: 1px solid #c9d0d8; }
  a { color: inherit; }
}
)css";

constexpr std::size_t rowsOnOnePage = 16;  ///< a shorter table is not torn apart

class Writer {
public:
    explicit Writer(const DrawnPictures& pictures) : pictures_{pictures} {}

    std::string operator()(const Paragraph& paragraph) {
        const char* kind = paragraph.kind == Paragraph::Kind::Verdict ? " class=\"verdict\""
                           : paragraph.kind == Paragraph::Kind::Note  ? " class=\"note\""
                                                                      : "";
        const auto lead = paragraph.lead.empty()
                              ? std::string{}
                              : fmt::format("<strong>{}</strong> ", escapedHtml(paragraph.lead));
        return fmt::format("<p{}>{}{}</p>\n", kind, lead, escapedHtml(paragraph.text));
    }

    std::string operator()(const Bullets& bullets) {
        std::string html = "<ul>\n";
        for (const auto& item : bullets.items)
            html += fmt::format("<li>{}</li>\n", escapedHtml(item));
        return html + "</ul>\n";
    }

    std::string operator()(const Table& table) {
        auto html = fmt::format(
            "<div class=\"scroll{}\" tabindex=\"0\"><table{}>\n<caption><span class=\"count\">Table "
            "{}.</span> {}</caption>\n<thead><tr>",
            table.rows.size() <= rowsOnOnePage ? " whole" : "", table.small ? " class=\"small\"" : "",
            ++tables_, escapedHtml(table.caption));
        for (const auto& column : table.columns)
            html += fmt::format("<th scope=\"col\"{}>{}</th>", column.number ? " class=\"n\"" : "",
                                escapedHtml(column.heading));
        html += "</tr></thead>\n<tbody>\n";
        for (const auto& row : table.rows)
            html += rowOf(table, row);
        html += "</tbody></table>\n";
        if (!table.note.empty()) html += fmt::format("<p class=\"note\">{}</p>\n", escapedHtml(table.note));
        return html + "</div>\n";
    }

    std::string operator()(const Picture& picture) {
        auto html = std::string{"<figure>\n"};
        const auto drawn = pictures_.find(picture.name);
        if (drawn == pictures_.end())
            html += fmt::format("<p class=\"note\">{}</p>\n", escapedHtml(picture.description));
        else
            html += fmt::format("<img style=\"width:{}mm\" alt=\"{}\" src=\"data:{};base64,{}\">\n",
                                picture.width_mm, escapedHtml(picture.description), drawn->second.mime,
                                base64(drawn->second.bytes));
        return html +
               fmt::format("<figcaption><span class=\"count\">Figure {}.</span> {}</figcaption>\n</figure>\n",
                           ++figures_, escapedHtml(picture.caption));
    }

private:
    static std::string rowOf(const Table& table, const std::vector<std::string>& row) {
        std::string html = "<tr>";
        for (std::size_t i = 0; i < row.size(); ++i) {
            const bool number = table.columns[i].number;
            html += i == 0 && !number
                        ? fmt::format("<th scope=\"row\">{}</th>", escapedHtml(row[i]))
                        : fmt::format("<td{}>{}</td>", number ? " class=\"n\"" : "", escapedHtml(row[i]));
        }
        return html + "</tr>\n";
    }

    const DrawnPictures& pictures_;
    int tables_ = 0, figures_ = 0;
};

std::string contentsOf(const WriteUp& document) {
    std::string html = "<nav aria-label=\"Contents\"><strong>Contents</strong>\n<ol>\n";
    int number = 0;
    for (const auto& section : document.sections)
        if (section.level == 1)
            html += fmt::format("<li><a href=\"#s{}\">{}</a></li>\n", ++number, escapedHtml(section.title));
    return html + "</ol></nav>\n";
}

std::string headOf(const WriteUp& document) {
    auto html = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" "
        "content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n<style>{}</style>\n",
        escapedHtml(document.title), style);
    // JSON in a script element would be the end of "no scripts": an attribute holds it as text.
    html += fmt::format("<meta name=\"beatwitness-provenance\" content=\"{}\">\n</head>\n<body>\n<header>\n",
                        escapedHtml(document.provenance));
    html += fmt::format("<h1>{}</h1>\n<p class=\"subtitle\">{}</p>\n<div class=\"byline\">\n",
                        escapedHtml(document.title), escapedHtml(document.subtitle));
    for (const auto& line : document.byline)
        html += fmt::format("<p class=\"digest\">{}</p>\n", escapedHtml(line));
    return html + "</div>\n</header>\n";
}

}  // namespace

std::string escapedHtml(std::string_view text) {
    std::string html;
    html.reserve(text.size());
    for (const char c : text) {
        switch (c) {
            case '&':
                html += "&amp;";
                break;
            case '<':
                html += "&lt;";
                break;
            case '>':
                html += "&gt;";
                break;
            case '"':
                html += "&quot;";
                break;
            case '\'':
                html += "&#39;";
                break;
            default:
                html += static_cast<unsigned char>(c) < 0x20 && c != '\n' && c != '\t' ? '?' : c;
        }
    }
    return html;
}

std::string base64(std::string_view bytes) {
    constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string text;
    text.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        std::array<unsigned, 3> part{};
        const std::size_t there = std::min<std::size_t>(3, bytes.size() - i);
        for (std::size_t j = 0; j < there; ++j)
            part[j] = static_cast<unsigned char>(bytes[i + j]);
        const unsigned all = part[0] << 16 | part[1] << 8 | part[2];
        text += digits[all >> 18 & 63];
        text += digits[all >> 12 & 63];
        text += there > 1 ? digits[all >> 6 & 63] : '=';
        text += there > 2 ? digits[all & 63] : '=';
    }
    return text;
}

std::string htmlOf(const WriteUp& document, const DrawnPictures& pictures) {
    auto html = headOf(document) + contentsOf(document) + "<main>\n";
    Writer write{pictures};
    int chapter = 0;
    for (const auto& section : document.sections) {
        html += section.level == 1
                    ? fmt::format("<h2 id=\"s{}\">{}</h2>\n", ++chapter, escapedHtml(section.title))
                    : fmt::format("<h3>{}</h3>\n", escapedHtml(section.title));
        for (const auto& block : section.blocks)
            html += std::visit(write, block);
    }
    return html + "</main>\n</body>\n</html>\n";
}

}  // namespace beatwitness::report
