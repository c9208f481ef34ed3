#include "core/library/figure_store.h"

#include <fmt/format.h>

#include <string_view>

#include "core/foundation/text.h"
#include "core/library/library_file.h"

namespace beatwitness::library {
namespace {

template <class RowId>
std::vector<RowId> idsAt(Statement rows) {
    std::vector<RowId> ids;
    while (rows.step())
        ids.push_back(rows.id<RowId>(0));
    return ids;
}

std::int64_t flag(bool is) {
    return is ? 1 : 0;
}

/// The columns of readRow() from the sixth on.
FigureContent contentOf(const Statement& row) {
    FigureContent content;
    content.kind = row.text(3);
    if (const auto session = row.maybeInteger(4)) content.session = SessionId{*session};
    content.aligned = row.integer(5) != 0;
    content.excludeReferenceFaults = row.integer(6) != 0;
    content.epoch_s = static_cast<int>(row.integer(7));
    content.begin_s = row.maybeReal(8);
    content.end_s = row.maybeReal(9);
    content.flags = row.integer(10) != 0;
    content.phases = row.integer(11) != 0;
    content.pins = row.integer(12) != 0;
    content.errorStrip = row.integer(13) != 0;
    content.mapBeside = row.integer(14) != 0;
    content.scale = row.text(15);
    return content;
}

void writeLists(Database& database, FigureId id, const FigureContent& content) {
    database.run("DELETE FROM figure_device WHERE figure_id = ?", id);
    for (const auto device : content.devices)
        database.run("INSERT OR IGNORE INTO figure_device (figure_id, device_id) VALUES (?, ?)", id, device);
    database.run("DELETE FROM figure_activity WHERE figure_id = ?", id);
    for (const auto activity : content.activities)
        database.run("INSERT OR IGNORE INTO figure_activity (figure_id, activity_id) VALUES (?, ?)", id,
                     activity);
}

bool isScale(std::string_view scale) {
    return scale == "log" || scale == "cube-root" || scale == "linear";
}

}  // namespace

std::optional<FigureParticulars> readRow(Database& database, FigureId id) {
    FigureParticulars is;
    {
        auto row = database.statement(
            "SELECT project_id, place, name, kind, session_id, aligned, without_reference_faults, epoch_s, "
            "begin_s, end_s, flags, phases, pins, error_strip, map_beside, scale, title, subtitle, caption, "
            "dark, transparent, grey, size, dpi, deleted_at_us FROM figure WHERE id = ?",
            id);
        if (!row.step()) return std::nullopt;
        is.project = row.id<ProjectId>(0);
        is.place = static_cast<int>(row.integer(1));
        is.name = row.text(2);
        is.content = contentOf(row);
        is.texts = {row.text(16), row.text(17), row.text(18)};
        is.look = {row.integer(19) != 0, row.integer(20) != 0, row.integer(21) != 0, row.text(22),
                   static_cast<int>(row.integer(23))};
        is.deleted = !row.isNull(24);
    }
    is.content.devices = idsAt<DeviceId>(
        database.statement("SELECT device_id FROM figure_device WHERE figure_id = ? ORDER BY device_id", id));
    is.content.activities = idsAt<ActivityId>(database.statement(
        "SELECT activity_id FROM figure_activity WHERE figure_id = ? ORDER BY activity_id", id));
    return is;
}

bool writeFigure(Database& database, FigureId id, const FigureParticulars& is) {
    const auto& c = is.content;
    if (is.name.empty() || !isScale(c.scale)) {
        database.fail(FaultCode::WrongUsage,
                      is.name.empty() ? "a figure needs a name; nothing was changed"
                                      : fmt::format("the scale of a map is log, cube-root or linear, not "
                                                    "\"{}\"; nothing was changed",
                                                    printable(c.scale)));
        return false;
    }
    const bool found =
        database
            .number(
                "UPDATE figure SET project_id = ?, place = ?, name = ?, kind = ?, session_id = ?, "
                "aligned = ?, without_reference_faults = ?, epoch_s = ?, begin_s = ?, end_s = ?, "
                "flags = ?, phases = ?, pins = ?, error_strip = ?, map_beside = ?, scale = ?, title = ?, "
                "subtitle = ?, caption = ?, dark = ?, transparent = ?, grey = ?, size = ?, dpi = ?, "
                "deleted_at_us = CASE WHEN ? THEN coalesce(deleted_at_us, ?) END WHERE id = ? "
                "RETURNING id",
                is.project, std::int64_t{is.place}, is.name, c.kind, c.session, flag(c.aligned),
                flag(c.excludeReferenceFaults), std::int64_t{c.epoch_s}, c.begin_s, c.end_s, flag(c.flags),
                flag(c.phases), flag(c.pins), flag(c.errorStrip), flag(c.mapBeside), c.scale, is.texts.title,
                is.texts.subtitle, is.texts.caption, flag(is.look.dark), flag(is.look.transparent),
                flag(is.look.grey), is.look.size, std::int64_t{is.look.dpi}, flag(is.deleted), now().count(),
                id)
            .has_value();
    if (found) writeLists(database, id, c);
    return found;
}

FigureId insertEmptyFigure(Database& database, ProjectId project) {
    database.run(
        "INSERT INTO figure (project_id, place, name, kind, added_at_us) VALUES (?, (SELECT "
        "coalesce(max(place), -1) + 1 FROM figure WHERE project_id = ?), '', '', ?)",
        project, project, now().count());
    return FigureId{database.lastInsertId()};
}

std::vector<FigureId> figureIds(Database& database) {
    return idsAt<FigureId>(database.statement(
        "SELECT id FROM figure WHERE deleted_at_us IS NULL ORDER BY project_id, place, id"));
}

}  // namespace beatwitness::library
