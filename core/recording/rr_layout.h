#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/foundation/result.h"
#include "core/recording/recording.h"
#include "core/recording/text_dialect.h"
#include "core/recording/text_times.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording::rr {

/// How a text of beats is to be read.
struct RrLayout {
    text::Dialect dialect;
    std::optional<std::size_t> intervals;  ///< column of intervals; none: the times of beats stand alone
    double toMilliseconds = 1.0;           ///< what an interval is multiplied by
    text::TimeLayout time;                 ///< kind None: bare intervals
    bool isCounted = false;                ///< the time column only numbers the rows
    std::optional<std::size_t> labels;     ///< column of letters beside beat times
    std::optional<Micros> start;           ///< what elapsed times and bare intervals count from
    std::optional<text::Zone> zone;
    ClockBasis clock = ClockBasis::None;
    std::size_t rowsToSkip = 0;  ///< rows at the top that are a start or a number of a subject
    std::vector<std::pair<std::string, std::string>> guessed;
    std::vector<std::string> warnings;
};

/// Settles columns, units and start of `text`, from its first rows.
///
/// | layout                   | told by |
/// | intervals                | a header word (rr, rri, ibi, nn, interval), else a column of 0.25 to 2.5 or
/// 250 to 2500 | | times beside intervals   | header words, dates, or numbers that ascend; 1, 2, 3, … only
/// counts | | beat times, maybe labels | numbers that ascend by 0.25 to 2.5 s, unevenly | | start | "# start:
/// …" or such a line, or an epoch alone or beside a word in line 1 |
///
/// Faults: UnknownFormat, WrongUsage (an option names an absent column, or no zone). Constant in the text's
/// length.
[[nodiscard]] Result<RrLayout> rrLayoutOf(std::string_view text, const ReadOptions& options);

}  // namespace beatwitness::recording::rr
