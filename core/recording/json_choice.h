#pragma once

#include <cstddef>
#include <optional>

#include "core/foundation/fault.h"
#include "core/recording/json_tables.h"
#include "core/recording/recording.h"

namespace beatwitness::recording::json {

/// A table and the columns of it that are taken.
struct Choice {
    std::size_t table = 0, time = 0, rate = 0;
    std::size_t usable = 0;  ///< valid rates beside a time
};

/// The table and column of heart rates with most usable rows: valid, and beside a time. Columns called
/// `value` count only where no other is one.
[[nodiscard]] std::optional<Choice> bestChoice(const Tables& tables, const ReadOptions& options);

/// A column of beat intervals, and the times beside it where there are any.
struct BeatChoice {
    std::size_t table = 0, intervals = 0;
    std::optional<std::size_t> time;
    double toMilliseconds = 1.0;
};

/// The longest column of beat intervals, for a text without heart rates: its key says so (rr, ibi, …), or it
/// is a lone list of at least five numbers whose median could be an interval.
[[nodiscard]] std::optional<BeatChoice> bestBeats(const Tables& tables, const ReadOptions& options);

/// Why there is neither.
[[nodiscard]] Fault noList(const Tables& tables, const ReadOptions& options);

}  // namespace beatwitness::recording::json
