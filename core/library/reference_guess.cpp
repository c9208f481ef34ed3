#include "core/library/reference_guess.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <optional>

#include "core/trace/pairs.h"

namespace beatwitness::library {
namespace {

/// Two files differ in steadiness when their shares of bad steps differ by more than this.
constexpr double noticeableShare = 0.01;
/// A step of this many bpm or more between neighbouring samples is no heart's doing.
constexpr double jump_bpm = 15.0;

std::string lowered(std::string text) {
    std::ranges::transform(text, text.begin(),
                           [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
    return text;
}

struct Weight {
    int strength = 0;  ///< above 0 something speaks for it, below 0 against it
    const char* because = "steadier or first of equals";
};

Weight weightOf(const ReferenceEvidence& evidence) {
    if (evidence.timesReference > evidence.timesTest) return {4, "this device was the reference before"};
    if (evidence.timesTest > evidence.timesReference) return {-2, "this device was a test before"};
    if (evidence.sensorElectric) return {3, "this device measures by electrodes"};
    if (evidence.named) return {2, "its name speaks of a reference"};
    if (evidence.sensorOptical) return {-1, "this device measures by light"};
    if (evidence.beatsOnly) return {1, "it holds beat intervals, as straps write"};
    return {};
}

/// Stronger, or as strong and noticeably steadier.
bool leads(const ReferenceEvidence& a, const ReferenceEvidence& b) {
    const int strengthA = weightOf(a).strength, strengthB = weightOf(b).strength;
    if (strengthA != strengthB) return strengthA > strengthB;
    return a.blemishes + noticeableShare < b.blemishes;
}

}  // namespace

bool namedLikeReference(const recording::RecordingFile& file) {
    constexpr std::array hints{"strap", "chest", "ecg", "ekg", "reference", "hrm"};
    const std::string name =
        lowered(std::filesystem::path(file.file).stem().string() + " " + file.recording.device);
    return std::ranges::any_of(hints, [&](const char* hint) { return name.find(hint) != std::string::npos; });
}

double blemishShare(const trace::Trace<RecordingClock>& trace, const trace::RecordingSummary& summary) {
    if (trace.times.size() < 2) return 1.0;
    const trace::PairingSettings settings;
    const double rows = static_cast<double>(std::max<std::size_t>(summary.samples, 1));
    double bad = static_cast<double>(summary.missing);
    const double usual_s = summary.medianInterval ? summary.medianInterval->value : 1.0;
    for (std::size_t i = 1; i < trace.times.size(); ++i) {
        const double step_s = toSeconds(trace.times[i] - trace.times[i - 1]).value;
        if (step_s > settings.maxGap.value)
            bad += step_s / std::max(usual_s, 1.0);
        else if (std::abs((trace.rates[i] - trace.rates[i - 1]).value) >= jump_bpm)
            bad += 1.0;
    }
    return bad / rows;
}

ReferenceGuess guessReference(std::span<const ReferenceEvidence> recordings) {
    ReferenceGuess guess;
    std::optional<std::size_t> first;
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        const auto weight = weightOf(recordings[i]);
        guess.because.emplace_back(weight.because);
        if (!recordings[i].hasHeartRate) continue;
        guess.spokenFor += weight.strength > 0;
        if (!first || leads(recordings[i], recordings[*first])) first = i;
    }
    if (!first) return guess;
    if (weightOf(recordings[*first]).strength < 0) return guess;
    guess.references.push_back(*first);
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        // A file of beats alone beside a stronger reference may come from anything.
        const bool isSpokenFor = recordings[i].hasHeartRate && weightOf(recordings[i]).strength >= 2;
        if (i != *first && isSpokenFor) guess.references.push_back(i);
    }
    return guess;
}

}  // namespace beatwitness::library
