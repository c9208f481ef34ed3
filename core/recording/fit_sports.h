#pragma once

#include <optional>
#include <string>

namespace beatwitness::recording {

/// What was done, in plain words, from the enumerations `sport` and `sub_sport` of the open FIT profile:
/// "rowing", and where the second says more, that: "trail running". Empty where neither says anything.
[[nodiscard]] std::string fitSportWords(std::optional<double> sport, std::optional<double> subSport);

}  // namespace beatwitness::recording
