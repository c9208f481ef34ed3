#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/library/database.h"
#include "core/library/ids.h"

/// What was published of a project, number by number. Failures stay with the database.
namespace beatwitness::library {

/// One number under a key that says which group, clock and figure it is.
struct EditionNumber {
    std::string key;
    std::optional<double> value;
    friend bool operator==(const EditionNumber&, const EditionNumber&) = default;
};

/// Texts are compared as a whole: a change in one is a reason why numbers changed.
struct Edition {
    std::string label;
    Micros frozenAt{0};  ///< since 1970
    std::string program;
    int analysisVersion = 0;
    std::string question, criteria, settings, decisions, data;
    std::vector<EditionNumber> numbers;  ///< by key
};

/// By instant, without their numbers.
[[nodiscard]] std::vector<Edition> editionRows(Database& database, ProjectId project);
[[nodiscard]] std::optional<Edition> editionRow(Database& database, ProjectId project,
                                                std::string_view label);
/// Fails the database (WrongUsage) where the project has an edition of that label: what is frozen stays.
void insertEdition(Database& database, ProjectId project, const Edition& edition);

}  // namespace beatwitness::library
