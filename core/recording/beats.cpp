#include "core/recording/beats.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/recording/beats_artefacts.h"

namespace beatwitness::recording {

void addBeats(Recording& recording, Beats beats) {
    if (beats.empty()) return;
    const std::size_t count = beats.size();
    std::vector<bool> artefact = artefactsAmong(beats.intervals_ms, beats.beginsRun);
    for (std::size_t i = 0; i < count; ++i)
        artefact[i] = artefact[i] || beats.marked[i];
    const auto artefacts = static_cast<std::size_t>(std::ranges::count(artefact, true));
    recording.artefactShare_pct = 100.0 * static_cast<double>(artefacts) / static_cast<double>(count);
    Channel rates;
    rates.times.reserve(count - artefacts);
    rates.values.reserve(count - artefacts);
    for (std::size_t i = 0; i < count; ++i) {
        if (artefact[i]) continue;
        rates.times.push_back(beats.times[i]);
        rates.values.push_back(60'000.0 / beats.intervals_ms[i]);
    }
    if (artefacts > 0)
        recording.warnings.push_back(
            fmt::format("{} of {} beat intervals ({:.1f} %) were judged artefacts and counted as missing",
                        artefacts, count, *recording.artefactShare_pct));
    if (!rates.values.empty()) recording.channels.push_back(std::move(rates));
    recording.channels.push_back(
        {ChannelKind::BeatInterval, std::move(beats.times), std::move(beats.intervals_ms)});
}

}  // namespace beatwitness::recording
