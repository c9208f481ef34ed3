#include "core/library/names.h"

#include <type_traits>

#include "core/library/library_file.h"

namespace beatwitness::library {
namespace {

struct Sql {
    const char* find;
    const char* add;
    const char* all;
};

template <class RowId>
constexpr Sql sqlOf = {};

template <>
constexpr Sql sqlOf<WearerId> = {"SELECT id FROM wearer WHERE label = ? AND deleted_at_us IS NULL",
                                 "INSERT INTO wearer (label) VALUES (?)",
                                 "SELECT id, label FROM wearer WHERE deleted_at_us IS NULL ORDER BY label"};
template <>
constexpr Sql sqlOf<DeviceId> = {"SELECT id FROM device WHERE label = ? AND deleted_at_us IS NULL",
                                 "INSERT INTO device (label) VALUES (?)",
                                 "SELECT id, label FROM device WHERE deleted_at_us IS NULL ORDER BY label"};
template <>
constexpr Sql sqlOf<ActivityId> = {
    "SELECT id FROM activity WHERE label = ? AND deleted_at_us IS NULL",
    "INSERT INTO activity (label) VALUES (?)",
    "SELECT id, label FROM activity WHERE deleted_at_us IS NULL ORDER BY label"};
template <>
constexpr Sql sqlOf<ProjectId> = {"SELECT id FROM project WHERE label = ? AND deleted_at_us IS NULL",
                                  "INSERT INTO project (label, added_at_us) VALUES (?, ?)",
                                  "SELECT id, label FROM project WHERE deleted_at_us IS NULL ORDER BY label"};

}  // namespace

template <class RowId>
std::optional<RowId> findByLabel(Database& database, std::string_view label) {
    const auto found = database.number(sqlOf<RowId>.find, label);
    return found ? std::optional{RowId{*found}} : std::nullopt;
}

template <class RowId>
RowId findOrAdd(Database& database, std::string_view label) {
    if (const auto found = findByLabel<RowId>(database, label)) return *found;
    if constexpr (std::is_same_v<RowId, ProjectId>)
        database.run(sqlOf<RowId>.add, label, now().count());
    else
        database.run(sqlOf<RowId>.add, label);
    return RowId{database.lastInsertId()};
}

template <class RowId>
std::vector<Labelled<RowId>> allLabels(Database& database) {
    std::vector<Labelled<RowId>> rows;
    auto found = database.statement(sqlOf<RowId>.all);
    while (found.step())
        rows.push_back({found.template id<RowId>(0), found.text(1)});
    return rows;
}

#define BEATWITNESS_LABELS(RowId)                                                        \
    template std::optional<RowId> findByLabel<RowId>(Database&, std::string_view label); \
    template RowId findOrAdd<RowId>(Database&, std::string_view label);                  \
    template std::vector<Labelled<RowId>> allLabels<RowId>(Database&)
BEATWITNESS_LABELS(WearerId);
BEATWITNESS_LABELS(DeviceId);
BEATWITNESS_LABELS(ActivityId);
BEATWITNESS_LABELS(ProjectId);
#undef BEATWITNESS_LABELS

}  // namespace beatwitness::library
