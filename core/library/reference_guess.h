#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "core/recording/read_recording.h"
#include "core/trace/trace.h"

/// Which of several recordings of one workout is the reference: the one place that guesses it, for a loose
/// pair and for an import.
namespace beatwitness::library {

/// True where the name of the file or of its device speaks of a strap, chest, ECG, reference or HRM.
[[nodiscard]] bool namedLikeReference(const recording::RecordingFile& file);

/// Share of samples that are missing, follow a gap or jump as no heart does: 0 for a trace without blemish, 1
/// for one without two samples. Linear time.
[[nodiscard]] double blemishShare(const trace::Trace<RecordingClock>& trace,
                                  const trace::RecordingSummary& summary);

/// What speaks for one recording as the reference.
struct ReferenceEvidence {
    bool hasHeartRate = false;
    bool named = false;           ///< namedLikeReference()
    bool beatsOnly = false;       ///< a file of beat intervals: what straps write
    bool sensorElectric = false;  ///< the library says that the device measures by electrodes
    bool sensorOptical = false;   ///< … or by light
    std::size_t timesReference = 0, timesTest = 0;  ///< how the library knows the device
    double blemishes = 1.0;
};

struct ReferenceGuess {
    std::vector<std::size_t> references;  ///< the one that scores the tests first; none without heart rate
    std::vector<std::string> because;     ///< one for each recording that was judged
    std::size_t spokenFor = 0;            ///< how many something speaks for beside their steadiness
};

/// The library's own experience outweighs the sensor, that the name, that the kind of file. Those that
/// something speaks for are references, the strongest first; where nothing speaks for any, the steadiest
/// trace, the first of equals; none where something speaks against all of them.
[[nodiscard]] ReferenceGuess guessReference(std::span<const ReferenceEvidence> recordings);

}  // namespace beatwitness::library
