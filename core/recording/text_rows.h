#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace beatwitness::recording::text {

/// What parts the fields of a row.
struct Separator {
    char mark = ',';
    bool isBlanks = false;  ///< any run of blanks and tabs; `mark` is then ' '

    friend bool operator==(const Separator&, const Separator&) = default;
};

/// One row as it lies in the text.
///
/// A quoted field is shown without its outer quotes; quotes doubled inside it stay doubled (unquoted() folds
/// them).
struct Row {
    std::vector<std::string_view> fields;  ///< at most as many as the scanner was asked for
    std::size_t fieldCount = 0;            ///< all that stand in the row
    std::size_t line = 0;                  ///< 1-based, of the row's first character
    std::size_t begin = 0, end = 0;        ///< offsets into the text, without the line end

    /// The field, without blanks around it; empty where the row is too short.
    [[nodiscard]] std::string_view field(std::size_t column) const {
        return column < fields.size() ? fields[column] : std::string_view{};
    }
};

/// Parts text into rows and fields in one pass.
///
/// Lines end with LF, CR LF or CR. A field whose first character is a quote runs to the next single quote,
/// over line ends too. Where none follows within 16 KiB the quote is an ordinary character: a quote that was
/// never closed costs its own row, not the rest of the file, and the time stays linear. Empty lines give no
/// row.
class RowScanner {
public:
    /// Scans `text` from offset `begin`, which is the start of line `line`. Of each row at most `keptFields`
    /// are kept.
    RowScanner(std::string_view text, Separator separator, std::size_t keptFields, std::size_t begin = 0,
               std::size_t line = 1);

    /// False at the end of the text.
    [[nodiscard]] bool next(Row& row);

    [[nodiscard]] std::size_t offset() const { return at_; }
    /// Line of the first quote that was never closed.
    [[nodiscard]] std::optional<std::size_t> unclosedQuoteLine() const { return unclosedQuoteLine_; }

private:
    [[nodiscard]] std::uint64_t marksOfBlock(std::size_t block) const;
    [[nodiscard]] std::size_t nextMark();
    void seek(std::size_t offset);
    [[nodiscard]] std::size_t closingQuote(std::size_t open);
    /// Takes the field at `at_`; returns the offset of the mark behind it.
    std::size_t takeField(Row& row);
    std::size_t takeQuotedField(Row& row, std::size_t open);
    void keep(Row& row, std::size_t begin, std::size_t end) const;
    void passLineEnd(std::size_t mark);

    std::string_view text_;
    Separator separator_;
    std::size_t keptFields_;
    std::size_t at_;
    std::size_t line_;
    std::size_t block_ = 0;
    std::uint64_t marks_ = 0;  ///< bits of the block that are separator, line end or quote, not yet passed
    std::optional<std::size_t> unclosedQuoteLine_;
};

/// `text` without blanks and tabs at both ends.
[[nodiscard]] inline std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t'))
        text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t'))
        text.remove_suffix(1);
    return text;
}

}  // namespace beatwitness::recording::text
