#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/foundation/run_control.h"
#include "core/recording/json_columns.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording::json {

/// One list of rows somewhere in a JSON text.
struct Table {
    enum class Shape {
        Objects,   ///< [{"time": …, "hr": …}, …], or one object a line
        Pairs,     ///< [[time, rate], …], or {"2031-03-02T09:00:00Z": rate, …}
        Parallel,  ///< {"time": […], "hr": […]}; a lone list has a column without a name
    };

    Shape shape = Shape::Objects;
    std::string place;  ///< "data.samples", for people; "top" for the outermost
    std::vector<Column> columns;
    std::size_t rows = 0;
};

/// Everything in a JSON text that can be a table of times and measures.
struct Tables {
    std::vector<Table> tables;
    /// Key (lower case) and value of single values outside lists, from which a start is taken.
    std::vector<std::pair<std::string, std::string>> preamble;
    std::optional<std::size_t> damagedByte;  ///< where the text stopped being JSON
    bool isCut = false;                      ///< it ended there
    bool isOverfull = false;                 ///< values beyond the budget were left out
    bool wasCancelled = false;
};

/// Reads `text` (one JSON value, or one a line) without building it up: values go to columns as they come.
///
/// Keys mean what header words mean (text_columns.h); an object one or two levels within a row belongs to it,
/// and `value` within it takes the meaning of its key. Lists deeper than 12 levels are not looked at; depth
/// as such costs nothing. At most one value for six bytes of text (and four million more) is kept. What
/// stands before damage is kept, but for the row that it cut.
[[nodiscard]] Tables tablesIn(std::string_view text, const CalendarRules& rules, const RunControl& run);

}  // namespace beatwitness::recording::json
