#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// True where a FIT header stands at byte 0, damaged or not: its mark `.FIT` at byte 8 with at most one wrong
/// character behind a plausible first byte, or as much of such a header as a file of fewer than 12 bytes
/// holds.
[[nodiscard]] bool looksLikeFit(std::span<const std::byte> bytes);

/// Reads a FIT file: all chained parts, both byte orders, normal and compressed time, developer fields
/// stepped over.
///
/// How the bytes lie: fit_file.h (parts), fit_decoder.h (messages), fit_field.h (values), fit_messages.h
/// (what is taken), fit_heart_events.h and fit_beats.h (packed heart rate, beat intervals). What stands
/// before damage is returned with a warning that names the byte. A sound file without records is a Recording
/// without rows and with a warning. Clock: Utc, or None where the device never knew the date; times are then
/// seconds of the device clock.
///
/// Faults: Damaged (not one message could be read), Cancelled. Linear time; memory: 16 bytes a value kept.
/// Source: the open FIT protocol and profile.
[[nodiscard]] Result<Recording> readFit(std::span<const std::byte> bytes, const RunControl& run = {});

}  // namespace beatwitness::recording
