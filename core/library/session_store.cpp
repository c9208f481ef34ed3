#include "core/library/session_store.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "core/foundation/text.h"
#include "core/library/library_file.h"
#include "core/library/names.h"
#include "core/library/particulars_store.h"
#include "core/trace/trace.h"

namespace beatwitness::library {
namespace {

std::optional<std::int64_t> beginOf(const std::optional<Span<RecordingClock>>& span) {
    return span ? std::optional{std::int64_t{span->begin.time_since_epoch().count()}} : std::nullopt;
}

std::optional<std::int64_t> endOf(const std::optional<Span<RecordingClock>>& span) {
    return span ? std::optional{std::int64_t{span->end.time_since_epoch().count()}} : std::nullopt;
}

std::optional<Span<RecordingClock>> spanAt(const Statement& row, int column) {
    if (row.isNull(column) || row.isNull(column + 1)) return std::nullopt;
    return Span<RecordingClock>{RecordingTime{Micros{row.integer(column)}},
                                RecordingTime{Micros{row.integer(column + 1)}}};
}

std::string useText(std::string_view digest, const std::optional<Span<RecordingClock>>& span) {
    if (!span) return fmt::format("{};", digest);
    return fmt::format("{} {} {};", digest, *beginOf(span), *endOf(span));
}

std::string fingerprint(const WearingDraft& wearing) {
    std::string word = fmt::format("{}\n{}\n{}\n{}\n", roleName(wearing.role), wearing.device,
                                   wearing.facts.unit, outcomeName(wearing.outcome));
    for (const auto& use : wearing.recordings)
        word += useText(use.file->read.sha256, use.span);
    return word;
}

/// What makes two sessions of one name the same one, as sorted words.
std::vector<std::string> fingerprint(const SessionDraft& draft) {
    std::vector<std::string> words;
    for (const auto& wearing : draft.wearings)
        words.push_back(fingerprint(wearing));
    std::ranges::sort(words);
    return words;
}

std::vector<std::string> fingerprint(Database& database, SessionId session) {
    std::vector<std::string> words;
    std::int64_t last = 0;
    auto rows = database.statement(
        "SELECT w.id, w.role, d.label, w.unit, w.outcome, r.sha256, u.begin_us, u.end_us FROM wearing w "
        "JOIN device d ON d.id = w.device_id LEFT JOIN wearing_recording u ON u.wearing_id = w.id "
        "LEFT JOIN recording r ON r.id = u.recording_id WHERE w.session_id = ? AND w.deleted_at_us IS NULL "
        "ORDER BY w.id, u.ordinal",
        session);
    while (rows.step()) {
        if (words.empty() || rows.integer(0) != last)
            words.push_back(
                fmt::format("{}\n{}\n{}\n{}\n", rows.text(1), rows.text(2), rows.text(3), rows.text(4)));
        last = rows.integer(0);
        if (!rows.isNull(5)) words.back() += useText(rows.text(5), spanAt(rows, 6));
    }
    std::ranges::sort(words);
    return words;
}

/// First valid heart rate of what the first reference draws from, where its file knows the date.
std::optional<std::int64_t> startOf(const SessionDraft& draft) {
    std::optional<std::int64_t> start;
    const auto reference = std::ranges::find_if(draft.wearings, [](const auto& wearing) {
        return wearing.role == Role::Reference && !wearing.recordings.empty();
    });
    if (reference == draft.wearings.end()) return start;
    for (const auto& use : reference->recordings) {
        const auto& recording = use.file->read.recording;
        if (recording.clock == recording::ClockBasis::None) continue;
        const auto trace = trace::traceOf(recording);
        const auto first =
            use.span ? std::ranges::lower_bound(trace.times, use.span->begin) : trace.times.begin();
        if (first == trace.times.end() || (use.span && *first > use.span->end)) continue;
        const std::int64_t time_us = first->time_since_epoch().count();
        start = start ? std::min(*start, time_us) : time_us;
    }
    return start;
}

void insertUses(Database& database, RecordingWriter& writer, WearingId wearing,
                const std::vector<RecordingDraft>& uses, AddedSession& added) {
    std::int64_t ordinal = 0;
    for (const auto& use : uses) {
        const auto& name = use.file->read.file;
        auto recording = findRecording(database, use.file->read.sha256);
        if (recording) {
            added.alreadyStored.push_back(name);
            if (!takeReading(database, writer, *recording, *use.file)) added.readOtherwise.push_back(name);
        } else {
            recording = insertRecording(database, writer, *use.file);
        }
        database.run(
            "INSERT INTO wearing_recording (wearing_id, ordinal, recording_id, begin_us, end_us) "
            "VALUES (?, ?, ?, ?, ?)",
            wearing, ordinal++, *recording, beginOf(use.span), endOf(use.span));
    }
}

WearingId insertWearing(Database& database, SessionId session, std::int64_t ordinal,
                        const WearingDraft& draft) {
    const auto device = findOrAdd<DeviceId>(database, draft.device);
    const auto& facts = draft.facts;
    database.run(
        "INSERT INTO wearing (session_id, ordinal, device_id, role, unit, firmware, position, side, "
        "tightness, mode, instructed, electrodes, outcome, reason) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        session, ordinal, device, roleName(draft.role), facts.unit, facts.firmware, facts.position,
        facts.side, facts.tightness, facts.mode, facts.instructed, facts.electrodes,
        outcomeName(draft.outcome), draft.reason);
    return WearingId{database.lastInsertId()};
}

constexpr std::string_view sessionColumns =
    "SELECT s.id, s.name, a.label, w.label, s.note, s.start_us, s.activity_id, s.wearer_id, s.zone, "
    "s.counted_begin_us, s.counted_end_us FROM session s "
    "LEFT JOIN activity a ON a.id = s.activity_id LEFT JOIN wearer w ON w.id = s.wearer_id "
    "WHERE s.deleted_at_us IS NULL";

SessionRow sessionAt(const Statement& row) {
    SessionRow session{row.id<SessionId>(0), row.text(1), row.text(2), row.text(3), row.text(4), {}, {}};
    if (const auto start = row.maybeInteger(5)) session.start = Micros{*start};
    if (const auto activity = row.maybeInteger(6)) session.activityId = ActivityId{*activity};
    if (const auto wearer = row.maybeInteger(7)) session.wearerId = WearerId{*wearer};
    session.zone = row.text(8);
    session.counted = spanAt(row, 9);
    return session;
}

constexpr std::string_view wearingColumns =
    "SELECT w.session_id, w.id, w.role, w.device_id, d.label, w.unit, w.firmware, w.position, w.side, "
    "w.tightness, w.mode, w.outcome, w.reason, u.recording_id, u.begin_us, u.end_us, w.instructed, "
    "w.electrodes, w.clock, w.clock_offset_s, w.clock_drift_ppm FROM wearing w "
    "JOIN device d ON d.id = w.device_id LEFT JOIN wearing_recording u ON u.wearing_id = w.id "
    "WHERE w.deleted_at_us IS NULL";

WearingRow wearingAt(const Statement& row) {
    WearingRow wearing;
    wearing.id = row.id<WearingId>(1);
    wearing.role = roleOf(row.text(2));
    wearing.device = row.id<DeviceId>(3);
    wearing.deviceLabel = row.text(4);
    wearing.facts = {row.text(5), row.text(6),  row.text(7),  row.text(8),
                     row.text(9), row.text(10), row.text(16), row.text(17)};
    wearing.outcome = row.text(11) == "recorded" ? WearingOutcome::Recorded : WearingOutcome::Failed;
    wearing.reason = row.text(12);
    wearing.clock = {clockMethodOf(row.text(18)), Seconds{row.real(19)}, Ppm{row.real(20)}};
    return wearing;
}

/// Hands each wearing to its session. A wearing has a row for each recording it draws from, or one.
void fillWearings(Statement rows, std::vector<SessionRow>& sessions) {
    std::unordered_map<std::int64_t, SessionRow*> byId;
    byId.reserve(sessions.size());
    for (auto& session : sessions)
        byId.emplace(session.id.value, &session);
    while (rows.step()) {
        const auto session = byId.find(rows.integer(0));
        if (session == byId.end()) continue;
        auto& wearings = session->second->wearings;
        if (wearings.empty() || wearings.back().id != rows.id<WearingId>(1))
            wearings.push_back(wearingAt(rows));
        if (!rows.isNull(13))
            wearings.back().recordings.push_back({rows.id<RecordingId>(13), spanAt(rows, 14)});
    }
}

/// Sessions without a start come last.
bool startsBefore(const SessionRow& a, const SessionRow& b) {
    if (a.start && b.start && *a.start != *b.start) return *a.start < *b.start;
    if (a.start.has_value() != b.start.has_value()) return a.start.has_value();
    return a.id < b.id;
}

}  // namespace

const WearingRow* SessionRow::reference() const {
    const auto found = std::ranges::find_if(wearings, [](const WearingRow& wearing) {
        return wearing.role == Role::Reference && !wearing.recordings.empty();
    });
    return found == wearings.end() ? nullptr : &*found;
}

std::optional<SessionId> findSameSession(Database& database, const SessionDraft& draft) {
    std::vector<SessionId> candidates;
    {
        auto rows = database.statement(
            "SELECT s.id FROM session s LEFT JOIN activity a ON a.id = s.activity_id "
            "LEFT JOIN wearer w ON w.id = s.wearer_id WHERE s.name = ? AND s.deleted_at_us IS NULL "
            "AND coalesce(a.label, '') = ? AND coalesce(w.label, '') = ? ORDER BY s.id",
            draft.name, draft.activity, draft.wearer);
        while (rows.step())
            candidates.push_back(rows.id<SessionId>(0));
    }
    if (candidates.empty()) return std::nullopt;
    const auto wanted = fingerprint(draft);
    for (const auto candidate : candidates)
        if (fingerprint(database, candidate) == wanted) return candidate;
    return std::nullopt;
}

AddedSession insertSession(Database& database, RecordingWriter& writer, const SessionDraft& draft) {
    std::optional<ActivityId> activity;
    if (!draft.activity.empty()) activity = findOrAdd<ActivityId>(database, draft.activity);
    std::optional<WearerId> wearer;
    if (!draft.wearer.empty()) wearer = findOrAdd<WearerId>(database, draft.wearer);
    database.run(
        "INSERT INTO session (name, activity_id, wearer_id, note, start_us, added_at_us) "
        "VALUES (?, ?, ?, ?, ?, ?)",
        draft.name, activity, wearer, draft.note, startOf(draft), now().count());
    AddedSession added;
    added.id = SessionId{database.lastInsertId()};
    std::int64_t ordinal = 0;
    for (const auto& wearing : draft.wearings) {
        added.wearings.push_back(insertWearing(database, added.id, ordinal++, wearing));
        insertUses(database, writer, added.wearings.back(), wearing.recordings, added);
    }
    return added;
}

AddedSession addToSession(Database& database, RecordingWriter& writer, SessionId session,
                          const SessionDraft& draft) {
    const auto there = fingerprint(database, session);
    AddedSession added;
    added.id = session;
    added.joined = true;
    auto ordinal =
        database.number("SELECT max(ordinal) + 1 FROM wearing WHERE session_id = ?", session).value_or(0);
    for (const auto& wearing : draft.wearings) {
        if (std::ranges::binary_search(there, fingerprint(wearing))) {
            for (const auto& use : wearing.recordings)
                added.alreadyStored.push_back(use.file->read.file);
            continue;
        }
        added.wearings.push_back(insertWearing(database, session, ordinal++, wearing));
        insertUses(database, writer, added.wearings.back(), wearing.recordings, added);
    }
    added.isNew = !added.wearings.empty();
    if (const auto start = startOf(draft))
        database.run("UPDATE session SET start_us = coalesce(start_us, ?) WHERE id = ?", *start, session);
    return added;
}

void joinProject(Database& database, ProjectId project, SessionId session) {
    database.run("INSERT OR IGNORE INTO project_session (project_id, session_id) VALUES (?, ?)", project,
                 session);
}

std::vector<SessionRow> sessionRows(Database& database, std::optional<ProjectId> project) {
    const auto query = [&](std::string_view columns, std::string_view session, std::string_view order) {
        if (!project) return database.statement(fmt::format("{} ORDER BY {}", columns, order));
        return database.statement(
            fmt::format(
                "{} AND {} IN (SELECT session_id FROM project_session WHERE project_id = ?) ORDER BY {}",
                columns, session, order),
            *project);
    };
    std::vector<SessionRow> sessions;
    {
        auto rows = query(sessionColumns, "s.id", "s.id");
        while (rows.step())
            sessions.push_back(sessionAt(rows));
    }
    fillWearings(query(wearingColumns, "w.session_id", "w.session_id, w.ordinal, u.ordinal"), sessions);
    std::ranges::sort(sessions, startsBefore);
    return sessions;
}

std::optional<SessionRow> sessionRow(Database& database, SessionId session) {
    std::vector<SessionRow> sessions;
    {
        auto rows = database.statement(std::string{sessionColumns} + " AND s.id = ?", session);
        if (!rows.step()) return std::nullopt;
        sessions.push_back(sessionAt(rows));
    }
    fillWearings(
        database.statement(
            std::string{wearingColumns} + " AND w.session_id = ? ORDER BY w.ordinal, u.ordinal", session),
        sessions);
    return std::move(sessions.front());
}

}  // namespace beatwitness::library
