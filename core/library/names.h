#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "core/library/database.h"
#include "core/library/ids.h"

/// What wearers, devices, activities and projects are called. Labels are compared letter by letter; of those
/// not deleted no two of a kind are alike.
namespace beatwitness::library {

template <class RowId>
[[nodiscard]] std::optional<RowId> findByLabel(Database& database, std::string_view label);

template <class RowId>
[[nodiscard]] RowId findOrAdd(Database& database, std::string_view label);

/// In the order of their labels.
template <class RowId>
[[nodiscard]] std::vector<Labelled<RowId>> allLabels(Database& database);

}  // namespace beatwitness::library
