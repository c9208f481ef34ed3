#pragma once

#include <compare>
#include <cstdint>
#include <string>

/// Rows of the library by number. An id of one table does not pass for one of another.
namespace beatwitness::library {

template <class Row>
struct Id {
    std::int64_t value = 0;
    friend constexpr auto operator<=>(Id, Id) = default;
};

using WearerId = Id<struct WearerRow>;
using DeviceId = Id<struct DeviceRow>;
using ActivityId = Id<struct ActivityRow>;
using ProjectId = Id<struct ProjectRow>;
using SessionId = Id<struct SessionRowTag>;
using WearingId = Id<struct WearingRowTag>;
using RecordingId = Id<struct RecordingRow>;
using PlannedId = Id<struct PlannedRow>;
using FigureId = Id<struct FigureRow>;
using CriterionId = Id<struct CriterionRowTag>;
using ComparisonId = Id<struct ComparisonRowTag>;

/// A row and what people call it.
template <class RowId>
struct Labelled {
    RowId id;
    std::string label;
};

}  // namespace beatwitness::library
