#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/agreement/criterion.h"
#include "core/library/library.h"

namespace beatwitness::evaluation {

/// Sessions of one activity, device by device.
struct PlanRow {
    std::string activity;               ///< empty: none is said
    std::vector<std::size_t> planned;   ///< one a device of the card: sessions in the plan, come or still to
    std::vector<std::size_t> recorded;  ///< sessions with a recording of the device and of a reference
};

struct PlanRequirement {
    agreement::Criterion criterion;
    std::optional<Micros> withdrawnAt;
    std::optional<bool> beforeData;  ///< nothing where there is no data yet that it concerns
};

/// What was meant to be found out, and how, before the results: to be shown and published ahead of them.
struct PlanCard {
    std::string project;
    std::string question;                       ///< as the project says
    std::vector<std::string> devices;           ///< test devices, in the order of the project's matrix
    std::vector<PlanRow> rows;                  ///< by activity
    std::vector<PlanRequirement> requirements;  ///< in the order of setting, the withdrawn among them
    std::size_t sessionsPlanned = 0, sessionsStillToCome = 0, sessionsRecorded = 0;
    std::string digest;  ///< SHA-256 of planText()
};

/// The question, the planned sessions and the criteria in force as text, which the digest stands for. What
/// was recorded since does not change it.
[[nodiscard]] std::string planText(const PlanCard& card);

/// Faults: NotInLibrary (no such project), those of reading.
[[nodiscard]] Result<PlanCard> planCard(library::Library& library, const std::string& project);

/// Whether `criterion` was set before any data that it concerns was there: before the first of `sessions`
/// was recorded or added. `added`: when each session was added to the library.
[[nodiscard]] std::optional<bool> setBeforeData(const agreement::Criterion& criterion,
                                                const std::vector<library::SessionRow>& sessions,
                                                const std::map<library::SessionId, Micros>& added);

}  // namespace beatwitness::evaluation
