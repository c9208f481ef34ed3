#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/library/ids.h"
#include "core/library/read_file.h"

namespace beatwitness::library {

enum class Role { Reference, Test, Context };
enum class WearingOutcome { Recorded, Failed };

/// How a device was worn; each empty where it is not known.
struct WearingFacts {
    std::string unit;  ///< which of several of the same device
    std::string firmware;
    std::string position;
    std::string side;
    std::string tightness;
    std::string mode;
    std::string instructed;  ///< where its maker says it is to be worn
    std::string electrodes;  ///< of a strap: wetted, dry, …

    friend bool operator==(const WearingFacts&, const WearingFacts&) = default;
};

/// A recording that a wearing draws from.
struct RecordingDraft {
    std::shared_ptr<const ReadFile> file;
    std::optional<Span<RecordingClock>> span;  ///< the part of it; nothing: all
};

struct WearingDraft {
    Role role = Role::Test;
    std::string device;  ///< label; a device of that label is found or added
    WearingFacts facts;
    WearingOutcome outcome = WearingOutcome::Recorded;
    std::string reason;                      ///< why it failed
    std::vector<RecordingDraft> recordings;  ///< empty exactly when nothing was recorded
};

/// One workout to be stored. Labels that are not known yet are added.
struct SessionDraft {
    std::string name;
    std::string activity;  ///< empty: none
    std::string wearer;    ///< empty: none
    std::string note;
    std::vector<WearingDraft> wearings;  ///< the first reference scores the tests
    /// A stored session that the wearings are added to, behind its own; name, activity, wearer and note then
    /// mean nothing.
    std::optional<SessionId> joins{};
};

}  // namespace beatwitness::library
