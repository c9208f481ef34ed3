#pragma once

#include <optional>

#include "core/recording/json_choice.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording::json {

/// The recording of a JSON text that holds beat intervals and no heart rates.
///
/// With times beside them each interval stands at its own; without, one follows upon the other from the start
/// that the text names, else from 0.
[[nodiscard]] Recording beatsOf(const Tables& tables, const BeatChoice& choice, const ReadOptions& options,
                                const std::optional<text::Zone>& zone);

/// What is told of the times, whatever the recording is of.
void noteOrder(Recording& recording, const Column& times);
void noteZone(Recording& recording);
void noteDamage(Recording& recording, const Tables& tables);

}  // namespace beatwitness::recording::json
