#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// True for text that begins like a JSON object or list (and not like a header or section in brackets).
[[nodiscard]] bool looksLikeJson(std::span<const std::byte> bytes);

/// Times and heart rates in JSON, wherever they lie.
///
/// | list of objects    | [{"time": "2031-03-02T09:00:00Z", "hr": 72}, …], nested values too          |
/// | objects, one a line | {"time": 1, "hr": 72} ⏎ {"time": 2, "hr": 73}                               |
/// | list of pairs      | [[1930381200, 72], [1930381201, 73], …], time and rate told by their values |
/// | lists side by side | {"time": [0, 1], "hr": [72, 73]}                                            |
///
/// Keys mean what header words of tables mean. Of several lists the one with most usable rows is taken. Times
/// are dates, epochs (s, ms, µs, ns) or elapsed, then from a `start` beside the list where there is one.
/// NaN and Infinity, which some writers put into JSON, are missing. What stands before damage reads, with a
/// warning that names the byte. Faults: Damaged (nothing read before the damage), UnknownFormat (no such
/// list), NoTimeColumn, WrongUsage, Cancelled. Linear; depth costs no stack.
[[nodiscard]] Result<Recording> readJson(std::span<const std::byte> bytes, const ReadOptions& options = {},
                                         const RunControl& run = {});

}  // namespace beatwitness::recording
