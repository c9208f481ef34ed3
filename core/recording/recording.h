#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/foundation/clocks.h"

namespace beatwitness::recording {

enum class Format { Fit, Tcx, Gpx, Csv, Json, Rr, Hrm };

/// As the batch contract writes it: `fit`, `tcx`, …
[[nodiscard]] std::string_view formatName(Format format);

/// What the times of a recording count from.
enum class ClockBasis {
    Utc,          ///< 1970-01-01T00:00:00Z
    ZoneUnknown,  ///< a date without a zone, laid on UTC provisionally
    None,         ///< a zero of the file's own: elapsed seconds, a device clock that was never set
};

enum class ChannelKind { HeartRate, BeatInterval, Cadence, Power, Speed, Altitude, Distance };

/// As the batch contract writes it: `heart_rate`, `cadence`, `rr`, …
[[nodiscard]] std::string_view channelName(ChannelKind kind);

/// One measured quantity of a file.
///
/// Units: heart rate bpm, beat interval ms, cadence 1/min as stored (steps or strides, or pedal turns), power
/// W, speed m/s, altitude m, distance m. Invariants: times and values have the same length; every value is
/// finite. Only rows that hold a value stand here: sentinels of the format (FIT 255 and 0, empty, `NA`, …) do
/// not. Heart rates outside the valid range do: trace::traceOf() leaves those out. In the order of the file,
/// which need not be the order of time.
struct Channel {
    ChannelKind kind = ChannelKind::HeartRate;
    std::vector<RecordingTime> times;
    std::vector<double> values;
};

struct Lap {
    Span<RecordingClock> span;
    std::string label;  ///< as the file says, else empty
};

/// What one file says, before any judgement.
struct Recording {
    Format format = Format::Csv;
    std::string device;    ///< name as the file gives it, else empty
    std::string serial;    ///< number of the unit that recorded, likewise
    std::string firmware;  ///< likewise
    std::string sport;     ///< in plain words: "rowing", "trail running"; likewise
    ClockBasis clock = ClockBasis::Utc;
    std::vector<Channel> channels;  ///< at most one of a kind; none empty
    std::size_t rows = 0;           ///< rows (records, points, beats, `hr` events that fill) with a time
    std::vector<Lap> laps;
    std::vector<Span<RecordingClock>>
        pauses;                               ///< stretches in which the file says that recording was stopped
    std::optional<double> artefactShare_pct;  ///< RR only: share of beats judged artefacts
    std::vector<std::pair<std::string, std::string>>
        guessed;                        ///< what a text reader assumed, e.g. separator: semicolon
    std::vector<std::string> warnings;  ///< one plain sentence each

    /// nullptr where the file has none of it.
    [[nodiscard]] const Channel* channel(ChannelKind kind) const;
};

/// What the user overrules of a text layout; unset means guess.
struct ReadOptions {
    std::optional<std::string> timeColumn;  ///< header word, or 1-based number
    std::optional<std::string> rateColumn;  ///< likewise
    std::optional<char> separator;
    std::optional<std::string> zone;  ///< "UTC", "+02:00" or an IANA name, for times written without one
};

}  // namespace beatwitness::recording
