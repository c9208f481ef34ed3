#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/evaluation/session_evidence.h"

namespace beatwitness::evaluation {

/// One side of a comparison: a device, or what it did under one firmware or in one year.
struct ComparedSide {
    std::string device;
    std::string firmware;     ///< empty: any
    std::optional<int> year;  ///< of the session's start, UTC; nothing: any

    [[nodiscard]] bool holds(const SessionEvidence& evidence) const;
    friend bool operator==(const ComparedSide&, const ComparedSide&) = default;
};

/// "band", "band firmware 2.5", "band in 2031": for people, and as `--compare` takes it.
[[nodiscard]] std::string sideName(const ComparedSide& side);

/// The side of that name that `evidence` holds something of; a device's own name goes before.
[[nodiscard]] std::optional<ComparedSide> sideOf(std::string_view name,
                                                 const std::vector<SessionEvidence>& evidence);

/// Devices that `name` can speak of: itself, and what stands before a firmware or a year.
[[nodiscard]] std::vector<std::string> devicesNamedBy(std::string_view name);

/// Every device, its firmware versions where it has two or more, its years likewise; second references are
/// none. By device, then the order just said, versions and years ascending.
[[nodiscard]] std::vector<ComparedSide> sidesIn(const std::vector<SessionEvidence>& evidence);

/// The evidence of the sides alone, each under the side's name in place of the device's: what compares,
/// pools or draws devices does so with sides. What two sides hold is there twice.
[[nodiscard]] std::vector<SessionEvidence> evidenceBySide(const std::vector<SessionEvidence>& evidence,
                                                          const std::vector<ComparedSide>& sides);

/// The calendar year of an instant, UTC.
[[nodiscard]] int yearOf(Micros instant);

/// Firmware versions in the order people count: "2.9" before "2.10".
[[nodiscard]] bool versionBefore(std::string_view a, std::string_view b);

}  // namespace beatwitness::evaluation
