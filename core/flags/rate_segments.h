#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "core/flags/episodes.h"

namespace beatwitness::flags {

/// Half rate, double rate or cadence lock, whichever explains `stretch` best by its definition; nothing where
/// none does.
///
/// A half or double rate must be stepped into or out of, or follow the reference's changes: a device that
/// stays low while the reference doubles passes through the ratio by chance. A cadence lock must be jumped
/// onto or move with the cadence. Where rate and cadence explain the stretch about equally well, the sentence
/// says that it could be either. `cadence` is empty where there is no channel.
[[nodiscard]] std::optional<Finding> rateFault(const SecondTable& table, Stretch stretch,
                                               const SecondRow& cadence, std::span<const std::uint8_t> taken,
                                               const Settings& settings);

/// The stuck flag of a stretch in which the test stands still; nothing where the reference hardly moves and
/// the error stays small. Covers the seconds that are wrong; the magnitude is the whole standstill.
[[nodiscard]] std::optional<Finding> standstillFault(const SecondTable& table, Stretch stretch,
                                                     std::span<const std::uint8_t> taken,
                                                     const Settings& settings);

}  // namespace beatwitness::flags
