#pragma once

#include <string>
#include <variant>
#include <vector>

#include "core/report/figures/figure_request.h"
#include "core/report/scene.h"

/// A write-up as a document: sections of paragraphs, lists, tables and pictures, all plain text. The writers
/// turn it into HTML and Markdown and escape what needs it.
namespace beatwitness::report {

struct Paragraph {
    enum class Kind {
        Plain,
        Verdict,  ///< stands out: what the study says
        Note,     ///< stands back: remarks on a table or a method
    };
    std::string text;
    Kind kind = Kind::Plain;
    std::string lead;  ///< bold, in front: "Clocks."
};

struct Bullets {
    std::vector<std::string> items;
};

/// Invariant: every row has as many cells as there are columns.
struct Table {
    struct Column {
        std::string heading;
        bool number = false;  ///< right-aligned
    };
    std::string caption;  ///< what it shows, one sentence or more; writers put "Table 3." in front
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows;
    std::string note;    ///< below it
    bool small = false;  ///< long reference tables
};

/// A figure of the write-up. The file beside the document is called `name` and the format's ending.
struct Picture {
    std::string name;         ///< ASCII, without ending
    std::string description;  ///< for those who cannot see it
    std::string caption;      ///< writers put "Figure 2." in front
    FigureRequest request;
    Scene scene;
    std::string definition;  ///< as figureDefinition()
    int width_mm = 180;      ///< on paper; on a screen at most the width of the text
};

using SectionBlock = std::variant<Paragraph, Bullets, Table, Picture>;

struct Section {
    std::string title;
    int level = 1;  ///< 1: a chapter, 2: a part of the one before
    std::vector<SectionBlock> blocks;
};

struct WriteUp {
    std::string title, subtitle;
    std::vector<std::string> byline;  ///< a line each
    std::vector<Section> sections;
    std::string provenance;  ///< JSON: program, analysis version, settings digest, recordings' digests
};

/// Every picture of the document in its order.
[[nodiscard]] inline std::vector<const Picture*> picturesOf(const WriteUp& document) {
    std::vector<const Picture*> pictures;
    for (const auto& section : document.sections)
        for (const auto& block : section.blocks)
            if (const auto* picture = std::get_if<Picture>(&block)) pictures.push_back(picture);
    return pictures;
}

}  // namespace beatwitness::report
