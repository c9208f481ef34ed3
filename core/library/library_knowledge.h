#pragma once

#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/library/library.h"
#include "core/library/offered_file.h"

namespace beatwitness::library {

struct KnownRecording {
    StoredFile stored;
    /// Read only where an offered file overlaps it in time.
    std::shared_ptr<const trace::Trace<RecordingClock>> trace;
};

struct KnownUse {
    std::size_t recording = 0;                 ///< index into LibraryKnowledge::recordings
    std::optional<Span<RecordingClock>> span;  ///< the part of it; nothing: all
};

struct KnownWearing {
    Role role = Role::Test;
    std::string device;
    WearingFacts facts;
    std::vector<KnownUse> uses;
};

struct KnownSession {
    SessionId id;
    std::string name, activity, wearer;
    std::optional<Span<RecordingClock>>
        span;  ///< of its reference, else of all it has; nothing without a date
    std::vector<KnownWearing> wearings;
};

/// What a library knows that helps with the next import: a snapshot, for any thread.
struct LibraryKnowledge {
    std::vector<KnownSession> sessions;  ///< in the order in which they were added
    std::vector<KnownRecording> recordings;
    std::vector<std::string> wearers, devices, activities;  ///< labels
    std::map<std::string, std::string> sensors;             ///< by device label, where the library says
};

/// Of 10,000 sessions some 0.2 s, and a millisecond for each stored recording that an offered file overlaps.
/// Faults: those of reading a library, Cancelled.
[[nodiscard]] Result<LibraryKnowledge> knowledgeOf(Library& library, std::span<const OfferedFile> offered,
                                                   const RunControl& run = {});

}  // namespace beatwitness::library
