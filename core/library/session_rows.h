#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/library/ids.h"
#include "core/library/particulars.h"
#include "core/library/session_draft.h"

namespace beatwitness::library {

/// A recording as a list shows it, without its samples.
struct StoredFile {
    RecordingId id;
    std::string sha256;
    std::string file;  ///< as the user named it
    recording::ClockBasis clock = recording::ClockBasis::Utc;
    std::string device, serial, firmware, sport;  ///< as the file says, else empty
    std::optional<Span<RecordingClock>> span;     ///< first to last valid heart rate
};

/// A recording that a wearing draws from.
struct RecordingUse {
    RecordingId recording;
    std::optional<Span<RecordingClock>> span;  ///< the part of it; nothing: all
};

struct WearingRow {
    WearingId id;
    Role role = Role::Test;
    DeviceId device;
    std::string deviceLabel;
    WearingFacts facts;
    WearingOutcome outcome = WearingOutcome::Recorded;
    std::string reason;
    std::vector<RecordingUse> recordings;  ///< in the order of drawing; empty where the attempt left no file
    WearingClock clock;
};

struct SessionRow {
    SessionId id;
    std::string name;
    std::string activity;  ///< label, empty where none is said
    std::string wearer;    ///< likewise
    std::string note;
    std::optional<Micros> start;       ///< since 1970; nothing where the reference knows no date
    std::vector<WearingRow> wearings;  ///< in the order given; the first reference scores the tests
    std::optional<ActivityId> activityId;
    std::optional<WearerId> wearerId;
    std::string zone;
    std::optional<Span<RecordingClock>> counted;  ///< the part that counts; nothing: all

    /// The wearing that scores the tests; nullptr where no reference recorded anything.
    [[nodiscard]] const WearingRow* reference() const;
};

}  // namespace beatwitness::library
