// The document's writers: what names may hold, what a reader without network sees.

#include <gtest/gtest.h>

#include "core/report/write_up/html_writer.h"
#include "core/report/write_up/markdown_writer.h"
#include "core/report/write_up/prose.h"

using namespace beatwitness;
using namespace beatwitness::report;

namespace {

constexpr const char* wild = "<b>J\u00fcrgen & \"Co\"</b> | a*b* 'c'";

WriteUp documentOf(std::vector<SectionBlock> blocks) {
    WriteUp document;
    document.title = wild;
    document.subtitle = wild;
    document.byline = {wild};
    document.provenance = R"({"project":"<b>"})";
    document.sections.push_back({wild, 1, std::move(blocks)});
    return document;
}

std::vector<SectionBlock> everyBlock() {
    Picture picture;
    picture.name = "map";
    picture.description = wild;
    picture.caption = wild;
    return {Paragraph{wild, Paragraph::Kind::Verdict, wild}, Bullets{{wild, wild}},
            Table{wild, {{wild, false}, {"bpm", true}}, {{wild, "5.8 (4.0 to 8.5)"}}, wild, false}, picture};
}

std::string htmlOfEverything() {
    return htmlOf(documentOf(everyBlock()), {{"map", {"image/svg+xml", "<svg/>"}}});
}

std::size_t countOf(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size()))
        ++count;
    return count;
}

}  // namespace

TEST(HtmlWriter, LetsNoNameOpenAnElement) {
    EXPECT_EQ(htmlOfEverything().find("<b>"), std::string::npos);
}

TEST(HtmlWriter, LetsNoNameCloseAnAttribute) {
    const auto html = htmlOfEverything();

    EXPECT_EQ(html.find("\"Co\""), std::string::npos);
}

TEST(HtmlWriter, KeepsUmlautsAsTheyAre) {
    EXPECT_NE(htmlOfEverything().find("J\u00fcrgen"), std::string::npos);
}

TEST(HtmlWriter, NeedsNeitherScriptNorNetwork) {
    const auto html = htmlOfEverything();

    for (const auto* outside : {"<script", "http:", "https:", "<link", "@import", "url("})
        EXPECT_EQ(html.find(outside), std::string::npos) << outside;
}

TEST(HtmlWriter, HoldsThePictureItself) {
    // "<svg/>" in base 64, by coreutils.
    EXPECT_NE(htmlOfEverything().find("data:image/svg+xml;base64,PHN2Zy8+"), std::string::npos);
}

TEST(HtmlWriter, ClosesWhatItOpens) {
    const auto html = htmlOfEverything();

    for (const std::string element :
         {"table", "figure", "ul", "li", "p", "tr", "main", "header", "nav", "h2"})
        EXPECT_EQ(countOf(html, "<" + element + ">") + countOf(html, "<" + element + " "),
                  countOf(html, "</" + element + ">"))
            << element;
}

// RFC 4648, section 10.
TEST(Base64, MatchesTheVectorsOfItsStandard) {
    const std::vector<std::pair<std::string, std::string>> vectors{{"", ""},
                                                                   {"f", "Zg=="},
                                                                   {"fo", "Zm8="},
                                                                   {"foo", "Zm9v"},
                                                                   {"foob", "Zm9vYg=="},
                                                                   {"fooba", "Zm9vYmE="},
                                                                   {"foobar", "Zm9vYmFy"}};

    for (const auto& [bytes, text] : vectors)
        EXPECT_EQ(base64(bytes), text);
}

TEST(MarkdownWriter, KeepsEveryRowAtItsNumberOfCells) {
    const auto text = markdownOf(documentOf(everyBlock()), [](const Picture&) { return "map.svg"; });

    const auto begin = text.find("| \\<b");
    const auto row = text.substr(begin, text.find('\n', begin) - begin);
    EXPECT_EQ(countOf(row, "|") - countOf(row, "\\|"), 3u) << row;
}

TEST(MarkdownWriter, LeavesNumbersAsTheyAre) {
    EXPECT_EQ(escapedMarkdown("5.8 (4.0 to 8.5)"), "5.8 (4.0 to 8.5)");
}

TEST(MarkdownWriter, MakesNoListOfASentenceThatBeginsWithANumber) {
    EXPECT_EQ(escapedMarkdown("2031. What a year"), "2031\\. What a year");
}

// By coreutils: date -u -d @1930208400 is Sun Mar 2 09:00:00 2031.
TEST(Prose, NamesTheDayOfAnInstant) {
    EXPECT_EQ(minuteWords(Micros{1930208400LL * 1000000}), "2 March 2031, 09:00");
}

TEST(Prose, SetsMinusSignsBeforeNumbersOnly) {
    EXPECT_EQ(typeset("well-worn (bias -2.6 bpm), 3-4"), "well-worn (bias \u22122.6 bpm), 3-4");
}
