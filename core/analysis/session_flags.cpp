#include "core/analysis/session_flags.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/foundation/text.h"

namespace beatwitness::analysis {
namespace {

/// A second in which two devices agree against the reference.
struct AgainstReference {
    std::int64_t second = 0;
    double difference_bpm = 0.0;  ///< their mean less the reference
};

std::vector<AgainstReference> agreeingAgainst(const trace::Pairs& a, const trace::Pairs& b,
                                              std::span<const flags::Flag> known,
                                              const flags::ReferenceSettings& settings) {
    std::vector<AgainstReference> seconds;
    std::size_t j = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        while (j < b.size() && b.seconds[j] < a.seconds[i])
            ++j;
        if (j == b.size() || b.seconds[j] != a.seconds[i]) continue;
        if (std::abs((a.test[i] - b.test[j]).value) > settings.agreeing_bpm) continue;
        const double mean_bpm = 0.5 * (a.test[i].value + b.test[j].value) - a.reference[i].value;
        if (std::abs(mean_bpm) < settings.suspect_bpm) continue;
        const auto covers = [&](const flags::Flag& flag) {
            return flag.on == flags::FlaggedTrace::Reference &&
                   flag.covers(static_cast<double>(a.seconds[i]));
        };
        if (std::ranges::none_of(known, covers)) seconds.push_back({a.seconds[i], mean_bpm});
    }
    return seconds;
}

flags::Flag suspicion(std::span<const AgainstReference> seconds, const std::string& earlierFile) {
    flags::Flag flag;
    flag.kind = flags::FlagKind::Adrift;
    flag.on = flags::FlaggedTrace::Reference;
    const auto begin = static_cast<double>(seconds.front().second),
               end = static_cast<double>(seconds.back().second);
    flag.span = {sessionTime(begin), sessionTime(end)};
    double sum = 0.0;
    for (const auto& second : seconds)
        sum += second.difference_bpm;
    flag.magnitude = std::abs(sum) / static_cast<double>(seconds.size());
    flag.unit = flags::magnitudeUnit(flag.kind);
    flag.confidence = 0.5;
    flag.because = fmt::format(
        "Suspected only: from {} this device and {} agree with each other, {:+.0f} bpm from the reference; "
        "which of "
        "them is right the traces cannot tell.",
        sessionClockText(begin), earlierFile, sum / static_cast<double>(seconds.size()));
    return flag;
}

}  // namespace

trace::SecondlyRates cadenceSeconds(std::span<const ContextTrace> traces) {
    for (const auto& context : traces) {
        if (context.kind != recording::ChannelKind::Cadence) continue;
        if (std::ranges::none_of(context.values, [](double value) { return value > 0.0; })) continue;
        trace::SessionTrace cadence{context.seconds, {}, context.joined};
        cadence.rates.reserve(context.values.size());
        for (const double value : context.values)
            cadence.rates.push_back(Bpm{value});
        return trace::atWholeSeconds(cadence);
    }
    return {};
}

void fillMeanErrors(std::vector<flags::Flag>& flags, const trace::Pairs& pairs) {
    for (auto& flag : flags) {
        const auto first = std::ranges::lower_bound(pairs.seconds, secondsOf(flag.span.begin), {},
                                                    [](std::int64_t s) { return static_cast<double>(s); });
        double sum = 0.0;
        std::size_t count = 0;
        for (auto i = static_cast<std::size_t>(first - pairs.seconds.begin());
             i < pairs.size() && static_cast<double>(pairs.seconds[i]) <= secondsOf(flag.span.end);
             ++i, ++count)
            sum += pairs.error(i).value;
        flag.meanError.reset();
        if (count > 0) flag.meanError = BpmDelta{sum / static_cast<double>(count)};
    }
}

std::vector<flags::Flag> suspectedReferenceFlags(const ClockView& test, const ClockView& earlier,
                                                 const std::string& earlierFile,
                                                 std::span<const flags::Flag> known,
                                                 const flags::ReferenceSettings& settings) {
    const auto seconds = agreeingAgainst(test.pairs, earlier.pairs, known, settings);
    constexpr std::int64_t join_s = 5;
    std::vector<flags::Flag> flags;
    for (std::size_t first = 0; first < seconds.size();) {
        std::size_t last = first;
        while (last + 1 < seconds.size() && seconds[last + 1].second - seconds[last].second <= join_s)
            ++last;
        if (static_cast<double>(seconds[last].second - seconds[first].second) + 1 >= settings.suspect_s)
            flags.push_back(suspicion(std::span(seconds).subspan(first, last - first + 1), earlierFile));
        first = last + 1;
    }
    return flags;
}

}  // namespace beatwitness::analysis
