#include "core/library/particulars_store.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/foundation/text.h"
#include "core/library/comparison_store.h"
#include "core/library/criterion_store.h"
#include "core/library/figure_store.h"
#include "core/library/library_file.h"
#include "core/library/review_store.h"

namespace beatwitness::library {
namespace {

std::optional<int> maybeInt(const Statement& row, int column) {
    const auto value = row.maybeInteger(column);
    return value ? std::optional{static_cast<int>(*value)} : std::nullopt;
}

std::optional<std::int64_t> wide(std::optional<int> value) {
    return value ? std::optional{std::int64_t{*value}} : std::nullopt;
}

template <class RowId>
std::optional<RowId> maybeId(const Statement& row, int column) {
    const auto value = row.maybeInteger(column);
    return value ? std::optional{RowId{*value}} : std::nullopt;
}

std::optional<std::int64_t> instant(std::optional<RecordingTime> time) {
    return time ? std::optional{std::int64_t{time->time_since_epoch().count()}} : std::nullopt;
}

/// For a column that keeps the instant of the first deletion: `coalesce(deleted_at_us, ?)` or null.
constexpr const char* deletion = "deleted_at_us = CASE WHEN ? THEN coalesce(deleted_at_us, ?) END";

std::int64_t flag(bool is) {
    return is ? 1 : 0;
}

void mustBeThere(Database& database, bool found, const AnyRowId& id) {
    if (found || database.failed()) return;
    const auto number = std::visit([](const auto& row) { return row.value; }, id);
    database.fail(FaultCode::NotInLibrary,
                  fmt::format("the library has no {} {}; nothing was changed", kindOf(id), number));
}

/// Labels of what is not deleted are unlike each other, and none is empty.
void checkLabel(Database& database, const AnyRowId& id, std::int64_t number, const std::string& label,
                bool deleted) {
    const auto kind = kindOf(id);
    if (label.empty())
        return database.fail(FaultCode::WrongUsage,
                             fmt::format("a {} needs a name; nothing was changed", kind));
    if (deleted) return;
    const auto other = database.number(
        fmt::format("SELECT id FROM {} WHERE label = ? AND id <> ? AND deleted_at_us IS NULL", kind), label,
        number);
    if (other)
        database.fail(FaultCode::WrongUsage,
                      fmt::format("there is another {} called \"{}\" already; nothing was changed", kind,
                                  printable(label)));
}

/// Whether an UPDATE … RETURNING id found its row.
template <class... Values>
bool updated(Database& database, std::string_view sql, const Values&... values) {
    return database.number(sql, values...).has_value();
}

void writeInto(Database& database, SessionId id, const SessionParticulars& is) {
    if (is.name.empty())
        return database.fail(FaultCode::WrongUsage, "a session needs a name; nothing was changed");
    const auto& c = is.conditions;
    const auto begin = is.counted ? std::optional{is.counted->begin} : std::nullopt;
    const auto end = is.counted ? std::optional{is.counted->end} : std::nullopt;
    mustBeThere(
        database,
        updated(
            database,
            fmt::format("UPDATE session SET name = ?, activity_id = ?, wearer_id = ?, note = ?, zone = ?, "
                        "counted_begin_us = ?, counted_end_us = ?, meal = ?, caffeine = ?, "
                        "prior_exercise = ?, medication = ?, place = ?, temperature = ?, protocol = ?, "
                        "processing = ?, {} WHERE id = ? RETURNING id",
                        deletion),
            is.name, is.activity, is.wearer, is.note, is.zone, instant(begin), instant(end), c.meal,
            c.caffeine, c.priorExercise, c.medication, c.place, c.temperature, c.protocol, c.processing,
            flag(is.deleted), now().count(), id),
        id);
}

void writeInto(Database& database, WearingId id, const WearingParticulars& is) {
    const auto& f = is.facts;
    mustBeThere(
        database,
        updated(
            database,
            fmt::format("UPDATE wearing SET role = ?, device_id = ?, unit = ?, firmware = ?, position = ?, "
                        "side = ?, tightness = ?, mode = ?, instructed = ?, electrodes = ?, outcome = ?, "
                        "reason = ?, clock = ?, clock_offset_s = ?, clock_drift_ppm = ?, {} WHERE id = ? "
                        "RETURNING id",
                        deletion),
            roleName(is.role), is.device, f.unit, f.firmware, f.position, f.side, f.tightness, f.mode,
            f.instructed, f.electrodes, outcomeName(is.outcome), is.reason, clockMethodName(is.clock.method),
            is.clock.offset.value, is.clock.drift.value, flag(is.deleted), now().count(), id),
        id);
}

void writeInto(Database& database, WearerId id, const WearerParticulars& is) {
    checkLabel(database, id, id.value, is.label, is.deleted);
    mustBeThere(database,
                updated(database,
                        fmt::format("UPDATE wearer SET label = ?, sex = ?, birth_year = ?, height_cm = ?, "
                                    "mass_kg = ?, wrist_cm = ?, skin_tone = ?, note = ?, {} WHERE id = ? "
                                    "RETURNING id",
                                    deletion),
                        is.label, is.sex, wide(is.birthYear), is.height_cm, is.mass_kg, is.wrist_cm,
                        is.skinTone, is.note, flag(is.deleted), now().count(), id),
                id);
}

void writeInto(Database& database, DeviceId id, const DeviceParticulars& is) {
    checkLabel(database, id, id.value, is.label, is.deleted);
    mustBeThere(
        database,
        updated(database,
                fmt::format("UPDATE device SET label = ?, sensor = ?, model = ?, note = ?, colour = ?, "
                            "{} WHERE id = ? RETURNING id",
                            deletion),
                is.label, is.sensor, is.model, is.note, wide(is.colour), flag(is.deleted), now().count(), id),
        id);
}

void writeInto(Database& database, ActivityId id, const ActivityParticulars& is) {
    checkLabel(database, id, id.value, is.label, is.deleted);
    mustBeThere(database,
                updated(database,
                        fmt::format("UPDATE activity SET label = ?, note = ?, {} WHERE id = ? RETURNING id",
                                    deletion),
                        is.label, is.note, flag(is.deleted), now().count(), id),
                id);
}

void writeInto(Database& database, ProjectId id, const ProjectParticulars& is) {
    checkLabel(database, id, id.value, is.label, is.deleted);
    mustBeThere(
        database,
        updated(
            database,
            fmt::format("UPDATE project SET label = ?, question = ?, {} WHERE id = ? RETURNING id", deletion),
            is.label, is.question, flag(is.deleted), now().count(), id),
        id);
    database.run("DELETE FROM project_device WHERE project_id = ?", id);
    std::int64_t ordinal = 0;
    for (const auto device : is.devices)
        database.run("INSERT INTO project_device (project_id, device_id, ordinal) VALUES (?, ?, ?)", id,
                     device, ordinal++);
    database.run("DELETE FROM project_threshold WHERE project_id = ?", id);
    for (const auto& [key, value] : is.thresholds)
        database.run("INSERT INTO project_threshold (project_id, \"key\", \"value\") VALUES (?, ?, ?)", id,
                     key, value);
}

void writeInto(Database& database, PlannedId id, const PlannedParticulars& is) {
    if (is.name.empty())
        return database.fail(FaultCode::WrongUsage, "a planned session needs a name; nothing was changed");
    mustBeThere(database,
                updated(database,
                        fmt::format("UPDATE planned_session SET project_id = ?, name = ?, activity_id = ?, "
                                    "day = ?, note = ?, session_id = ?, {} WHERE id = ? RETURNING id",
                                    deletion),
                        is.project, is.name, is.activity, is.day, is.note, is.session, flag(is.deleted),
                        now().count(), id),
                id);
    database.run("DELETE FROM planned_device WHERE planned_id = ?", id);
    for (const auto device : is.devices)
        database.run("INSERT OR IGNORE INTO planned_device (planned_id, device_id) VALUES (?, ?)", id,
                     device);
}

void writeInto(Database& database, FigureId id, const FigureParticulars& is) {
    mustBeThere(database, writeFigure(database, id, is), id);
}

void writeInto(Database& database, SessionId id, const SessionReview& is) {
    replaceReview(database, id, is);
}

template <class RowId, class Particulars>
void writeInto(Database& database, const RowOf<RowId, Particulars>& row) {
    writeInto(database, row.id, row.is);
}

void writeInto(Database& database, const Membership& row) {
    if (row.isMember)
        database.run("INSERT OR IGNORE INTO project_session (project_id, session_id) VALUES (?, ?)",
                     row.project, row.session);
    else
        database.run("DELETE FROM project_session WHERE project_id = ? AND session_id = ?", row.project,
                     row.session);
}

std::vector<DeviceId> devicesAt(Statement rows) {
    std::vector<DeviceId> devices;
    while (rows.step())
        devices.push_back(rows.id<DeviceId>(0));
    return devices;
}

template <class RowId>
void listDeleted(Database& database, std::string_view sql, std::vector<DeletedRow>& list) {
    auto rows = database.statement(sql);
    while (rows.step())
        list.push_back({rows.id<RowId>(0), rows.text(1), Micros{rows.integer(2)}});
}

}  // namespace

std::optional<SessionParticulars> readRow(Database& database, SessionId id) {
    auto row = database.statement(
        "SELECT name, activity_id, wearer_id, note, zone, counted_begin_us, counted_end_us, meal, caffeine, "
        "prior_exercise, medication, place, temperature, protocol, processing, deleted_at_us FROM session "
        "WHERE id = ?",
        id);
    if (!row.step()) return std::nullopt;
    SessionParticulars is;
    is.name = row.text(0);
    is.activity = maybeId<ActivityId>(row, 1);
    is.wearer = maybeId<WearerId>(row, 2);
    is.note = row.text(3);
    is.zone = row.text(4);
    if (!row.isNull(5) && !row.isNull(6))
        is.counted =
            CountedSpan{RecordingTime{Micros{row.integer(5)}}, RecordingTime{Micros{row.integer(6)}}};
    is.conditions = {row.text(7),  row.text(8),  row.text(9),  row.text(10),
                     row.text(11), row.text(12), row.text(13), row.text(14)};
    is.deleted = !row.isNull(15);
    return is;
}

std::optional<WearingParticulars> readRow(Database& database, WearingId id) {
    auto row = database.statement(
        "SELECT role, device_id, unit, firmware, position, side, tightness, mode, instructed, electrodes, "
        "outcome, reason, clock, clock_offset_s, clock_drift_ppm, deleted_at_us, session_id FROM wearing "
        "WHERE id = ?",
        id);
    if (!row.step()) return std::nullopt;
    WearingParticulars is;
    is.role = roleOf(row.text(0));
    is.device = row.id<DeviceId>(1);
    is.facts = {row.text(2), row.text(3), row.text(4), row.text(5),
                row.text(6), row.text(7), row.text(8), row.text(9)};
    is.outcome = row.text(10) == "recorded" ? WearingOutcome::Recorded : WearingOutcome::Failed;
    is.reason = row.text(11);
    is.clock = {clockMethodOf(row.text(12)), Seconds{row.real(13)}, Ppm{row.real(14)}};
    is.deleted = !row.isNull(15);
    is.session = row.id<SessionId>(16);
    return is;
}

std::optional<WearerParticulars> readRow(Database& database, WearerId id) {
    auto row = database.statement(
        "SELECT label, sex, birth_year, height_cm, mass_kg, wrist_cm, skin_tone, note, deleted_at_us FROM "
        "wearer "
        "WHERE id = ?",
        id);
    if (!row.step()) return std::nullopt;
    return WearerParticulars{row.text(0),      row.text(1),      maybeInt(row, 2),
                             row.maybeReal(3), row.maybeReal(4), row.maybeReal(5),
                             row.text(6),      row.text(7),      !row.isNull(8)};
}

std::optional<DeviceParticulars> readRow(Database& database, DeviceId id) {
    auto row = database.statement(
        "SELECT label, sensor, model, note, colour, deleted_at_us FROM device WHERE id = ?", id);
    if (!row.step()) return std::nullopt;
    return DeviceParticulars{row.text(0), row.text(1),      row.text(2),
                             row.text(3), maybeInt(row, 4), !row.isNull(5)};
}

std::optional<ActivityParticulars> readRow(Database& database, ActivityId id) {
    auto row = database.statement("SELECT label, note, deleted_at_us FROM activity WHERE id = ?", id);
    if (!row.step()) return std::nullopt;
    return ActivityParticulars{row.text(0), row.text(1), !row.isNull(2)};
}

std::optional<ProjectParticulars> readRow(Database& database, ProjectId id) {
    ProjectParticulars is;
    {
        auto row = database.statement("SELECT label, question, deleted_at_us FROM project WHERE id = ?", id);
        if (!row.step()) return std::nullopt;
        is = {row.text(0), row.text(1), {}, !row.isNull(2), {}};
    }
    auto thresholds = database.statement(
        "SELECT \"key\", \"value\" FROM project_threshold WHERE project_id = ? ORDER BY \"key\"", id);
    while (thresholds.step())
        is.thresholds[thresholds.text(0)] = thresholds.real(1);
    is.devices = devicesAt(
        database.statement("SELECT device_id FROM project_device WHERE project_id = ? ORDER BY ordinal", id));
    return is;
}

std::optional<PlannedParticulars> readRow(Database& database, PlannedId id) {
    PlannedParticulars is;
    {
        auto row = database.statement(
            "SELECT project_id, name, activity_id, day, note, session_id, deleted_at_us FROM planned_session "
            "WHERE id = ?",
            id);
        if (!row.step()) return std::nullopt;
        is.project = row.id<ProjectId>(0);
        is.name = row.text(1);
        is.activity = maybeId<ActivityId>(row, 2);
        is.day = row.text(3);
        is.note = row.text(4);
        is.session = maybeId<SessionId>(row, 5);
        is.deleted = !row.isNull(6);
    }
    is.devices = devicesAt(database.statement(
        "SELECT device_id FROM planned_device WHERE planned_id = ? ORDER BY device_id", id));
    return is;
}

std::optional<RowValue> readRow(Database& database, const RowValue& value) {
    if (const auto* membership = std::get_if<Membership>(&value)) {
        const bool is = database
                            .number("SELECT 1 FROM project_session WHERE project_id = ? AND session_id = ?",
                                    membership->project, membership->session)
                            .has_value();
        return Membership{membership->project, membership->session, is};
    }
    return std::visit(
        [&](const auto& row) -> std::optional<RowValue> {
            using Row = std::decay_t<decltype(row)>;
            if constexpr (std::is_same_v<Row, RowOf<SessionId, SessionReview>>) {
                if (auto is = reviewRow(database, row.id)) return Row{row.id, std::move(*is)};
            } else if constexpr (!std::is_same_v<Row, Membership>) {
                if (auto is = readRow(database, row.id)) return Row{row.id, std::move(*is)};
            }
            return std::nullopt;
        },
        value);
}

void writeRow(Database& database, const RowValue& value) {
    std::visit([&](const auto& row) { writeInto(database, row); }, value);
}

WearingId insertEmptyWearing(Database& database, SessionId session, DeviceId device) {
    database.run(
        "INSERT INTO wearing (session_id, ordinal, device_id, role, outcome) VALUES (?, "
        "(SELECT coalesce(max(ordinal), -1) + 1 FROM wearing WHERE session_id = ?), ?, 'test', 'failed')",
        session, session, device);
    return WearingId{database.lastInsertId()};
}

PlannedId insertEmptyPlanned(Database& database, ProjectId project) {
    database.run("INSERT INTO planned_session (project_id, name, added_at_us) VALUES (?, '', ?)", project,
                 now().count());
    return PlannedId{database.lastInsertId()};
}

std::vector<DeletedRow> deletedRows(Database& database) {
    std::vector<DeletedRow> list;
    listDeleted<SessionId>(
        database, "SELECT id, name, deleted_at_us FROM session WHERE deleted_at_us IS NOT NULL", list);
    listDeleted<WearingId>(
        database,
        "SELECT w.id, d.label || ' in ' || s.name, w.deleted_at_us FROM wearing w JOIN device d ON d.id = "
        "w.device_id JOIN session s ON s.id = w.session_id WHERE w.deleted_at_us IS NOT NULL AND "
        "s.deleted_at_us IS NULL",
        list);
    const auto labelled = [](std::string_view table) {
        return fmt::format("SELECT id, label, deleted_at_us FROM {} WHERE deleted_at_us IS NOT NULL", table);
    };
    listDeleted<WearerId>(database, labelled("wearer"), list);
    listDeleted<DeviceId>(database, labelled("device"), list);
    listDeleted<ActivityId>(database, labelled("activity"), list);
    listDeleted<ProjectId>(database, labelled("project"), list);
    listDeleted<PlannedId>(
        database, "SELECT id, name, deleted_at_us FROM planned_session WHERE deleted_at_us IS NOT NULL",
        list);
    listDeleted<FigureId>(database,
                          "SELECT id, name, deleted_at_us FROM figure WHERE deleted_at_us IS NOT NULL", list);
    listDeleted<ComparisonId>(
        database, "SELECT id, label, deleted_at_us FROM comparison WHERE deleted_at_us IS NOT NULL", list);
    std::ranges::stable_sort(list, std::ranges::greater{}, &DeletedRow::at);
    return list;
}

std::string_view kindOf(const AnyRowId& id) {
    constexpr const char* kinds[] = {"session", "wearing",         "wearer", "device",    "activity",
                                     "project", "planned session", "figure", "criterion", "comparison"};
    return kinds[id.index()];
}

std::string_view roleName(Role role) {
    return role == Role::Reference ? "reference" : role == Role::Test ? "test" : "context";
}

Role roleOf(std::string_view name) {
    return name == "reference" ? Role::Reference : name == "test" ? Role::Test : Role::Context;
}

std::string_view outcomeName(WearingOutcome outcome) {
    return outcome == WearingOutcome::Recorded ? "recorded" : "failed";
}

std::string_view clockMethodName(ClockMethod method) {
    constexpr const char* names[] = {"auto", "offset", "none", "shared-source"};
    return names[static_cast<std::size_t>(method)];
}

ClockMethod clockMethodOf(std::string_view name) {
    return name == "offset"          ? ClockMethod::Offset
           : name == "none"          ? ClockMethod::None
           : name == "shared-source" ? ClockMethod::SharedSource
                                     : ClockMethod::Auto;
}

}  // namespace beatwitness::library
