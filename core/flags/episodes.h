#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/flags/flag.h"
#include "core/flags/flag_settings.h"
#include "core/flags/second_table.h"

namespace beatwitness::flags {

/// A fault found in table seconds, before it becomes a Flag.
struct Finding {
    FlagKind kind = FlagKind::Adrift;
    Stretch seconds;
    double magnitude = 0.0;
    double confidence = 1.0;
    std::string because;
    FlaggedTrace on = FlaggedTrace::Test;
};

/// What an episode in which the device does not follow looks like under each explanation.
///
/// Errors are means over the episode in bpm. `change` is the reference's largest departure from its level
/// before the episode, `share` the part of the departures that the device followed (least squares), `reached`
/// the largest part of `change` that it showed before the episode ended.
struct EpisodeFit {
    std::optional<double> baseline_bpm;  ///< of the reference before the episode
    double change_bpm = 0.0;
    double share = 0.0;
    double reached = 0.0;
    double reachedSoon = 0.0;   ///< the peak of the test over that of the reference, 10 s more included
    double reachedLater = 0.0;  ///< the same within half of mostLag_s after it
    double lag_s = 0.0;
    double error_bpm = 0.0;       ///< as it is
    double leftLater = 1.0;       ///< share of the error that the lag leaves, some of the aftermath included
    double errorLate_bpm = 0.0;   ///< against the reference of lag_s ago
    double errorShare_bpm = 0.0;  ///< against the followed share
};

/// `taken`: 1 where another fault explains the second. O(seconds of the episode * mostLag_s).
[[nodiscard]] EpisodeFit fitEpisode(const SecondTable& table, Stretch episode,
                                    std::span<const std::uint8_t> taken, const EffortSettings& settings);

/// Missed rise, lag or damped; nothing where none of them explains the episode. `missedBefore`: the missed
/// rise before it, if any, which the device may still be in.
[[nodiscard]] std::optional<Finding> explainEpisode(const SecondTable& table, Stretch episode,
                                                    std::span<const std::uint8_t> taken,
                                                    const std::optional<Stretch>& missedBefore,
                                                    const Settings& settings);

/// Seconds further away than max(away_bpm, awayShare) for least_s, outside `taken`.
[[nodiscard]] std::vector<Finding> adriftIn(const SecondTable& table, std::span<const std::uint8_t> taken,
                                            const Settings& settings);

/// Grows (through untaken seconds) and shrinks a stretch to the seconds whose smoothed error is at least
/// wrong_bpm.
[[nodiscard]] std::optional<Stretch> wrongPart(const SecondTable& table, Stretch stretch,
                                               std::span<const std::uint8_t> taken, double wrong_bpm,
                                               bool grow);

}  // namespace beatwitness::flags
