#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// True where text begins with a section: a line that is one name in brackets.
[[nodiscard]] bool looksLikeHrm(std::span<const std::byte> bytes);

/// A strap's export in sections, as the format word `hrm` of the batch contract means it.
///
/// | section    | read                                                                                |
/// | [Params]   | Date=YYYYMMDD, StartTime=h:mm:ss.f, Length=h:mm:ss.f, Interval, SMode                |
/// | [IntTimes] | a line that begins with h:mm:ss.f ends a lap there, counted from the start           |
/// | [HRData]   | Interval=238: one beat interval in ms a line; Interval=1 to 120: heart rate every so |
/// |            | many seconds, the first at the start, then speed (0.1 km/h), cadence, altitude (m)   |
/// |            | and power (W) where SMode (or Mode) says so                                          |
///
/// Other sections, and other codes of Interval, are not read: the latter are told by whether the data look
/// like intervals. Date and start name no zone. Damage part-way is a warning. Faults: Damaged (no data
/// section, or nothing in it), WrongUsage (no zone), Cancelled. Linear.
[[nodiscard]] Result<Recording> readHrm(std::span<const std::byte> bytes, const ReadOptions& options = {},
                                        const RunControl& run = {});

}  // namespace beatwitness::recording
