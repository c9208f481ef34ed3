#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/recording/text_rows.h"

namespace beatwitness::recording::text {

/// What a cell can be taken for, before its column is known.
enum class CellKind { Missing, Number, Calendar, Word };

[[nodiscard]] CellKind kindOf(std::string_view cell);

/// How a text lays out its table.
struct Dialect {
    Separator separator;
    char decimalMark = '.';
    std::size_t columns = 0;
    std::vector<std::string> header;  ///< one name a column, some maybe empty; none where there is no header
    std::optional<std::size_t> headerLine;
    std::size_t dataBegin = 0, dataLine = 1;  ///< where the rows begin
    std::optional<std::size_t>
        dateBeforeClock;  ///< blanks only: fields that are one cell with the next, "2031-03-02 9:00"
    std::vector<std::pair<std::string, std::string>>
        preamble;             ///< "key: value" lines above the table, keys lower case
    double regularity = 0.0;  ///< share of sampled rows with the usual number of fields
    std::vector<Row> sample;  ///< the first rows of data, joined

    /// Makes one cell of a date and the clock behind it.
    void joinDateAndClock(Row& row) const;
    /// "column 3 \"ISO8601\"", or "column 3" where there is no name.
    [[nodiscard]] std::string columnText(std::size_t column) const;
};

/// The layout of `text`, from its first 256 KiB at most. `separator` overrules the guess.
///
/// Each of comma, semicolon, tab, bar and runs of blanks is tried: a line of header words decides, then how
/// regular and how readable the rows are that it gives. Never fails: an irregular text gives a low
/// regularity.
[[nodiscard]] Dialect sniffDialect(std::string_view text, std::optional<char> separator);

/// "semicolon", "tab", …
[[nodiscard]] std::string separatorName(Separator separator);

}  // namespace beatwitness::recording::text
