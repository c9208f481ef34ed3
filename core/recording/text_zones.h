#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "core/foundation/clocks.h"
#include "core/foundation/result.h"

namespace beatwitness::recording::text {

/// The zone that a user gives for times written without one.
class Zone {
public:
    /// "UTC", "Z", "+02:00", "-0500", "+2", or a name of the IANA database that this machine holds.
    /// Faults: WrongUsage.
    [[nodiscard]] static Result<Zone> named(std::string_view name);

    /// UTC of a local time. Of a time that exists twice the earlier is taken; a time that the clocks skipped
    /// counts as the instant of the change.
    [[nodiscard]] Micros toUtc(Micros local) const;

private:
    struct Rules;
    int offset_min_ = 0;
    std::shared_ptr<const Rules> rules_;
};

/// The zone of an option that may be unset. Faults: WrongUsage.
[[nodiscard]] Result<std::optional<Zone>> zoneAsked(const std::optional<std::string>& name);

}  // namespace beatwitness::recording::text
