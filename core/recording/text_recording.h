#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// True where `bytes` can be lines of text: a byte-order mark of any width, or a first line without NUL and
/// few control characters. Says nothing of what the text holds.
[[nodiscard]] bool looksLikeText(std::span<const std::byte> bytes);

/// What a table of separated text holds: comma, semicolon, tab, bar or blanks; any line end; UTF-8 or UTF-16.
///
/// | columns                 | by header words (text_columns.h), without a header by what they hold | | one
/// measurement a line  | time, kind (HEART_RATE, …), value; `rows` then counts those of the heart rate | |
/// start and rate          | line 1 an epoch, line 2 samples a second, then one value a line |
///
/// `guessed` says what was assumed, `warnings` what was left out, with the first line of each. Heart rates of
/// 0 and 255 and words such as NA are missing. A table of beat intervals alone has the format Rr. Faults:
/// UnknownFormat (prose, JSON, XML, sections), NoTimeColumn, WrongUsage (an option names an absent column or
/// no zone), Cancelled; with the line. One pass over the text (two where day and month are told by the whole
/// column), 16 bytes a value.
[[nodiscard]] Result<Recording> readText(std::span<const std::byte> bytes, const ReadOptions& options = {},
                                         const RunControl& run = {});

}  // namespace beatwitness::recording
