#include "core/library/review_store.h"

#include <fmt/format.h>

#include <algorithm>

namespace beatwitness::library {
namespace {

using flags::FlagDecision;
using flags::FlaggedTrace;

constexpr std::string_view decisionColumns =
    "d.wearing_id, d.number, d.verdict, d.flagged, d.kind, d.begin_us, d.end_us, d.new_kind, d.new_begin_us, "
    "d.new_end_us, d.excludes, d.note, d.blind, d.round, d.decided_at_us";

RecordingTime instant(const Statement& row, int column) {
    return RecordingTime{Micros{row.integer(column)}};
}

std::int64_t micros(RecordingTime time) {
    return time.time_since_epoch().count();
}

std::string_view traceName(FlaggedTrace on) {
    return on == FlaggedTrace::Test ? "test" : "reference";
}

/// The row of decisionColumns.
std::optional<FlagDecision> decisionAt(const Statement& row) {
    const auto verdict = flags::verdictOf(row.text(2));
    const auto kind = flags::flagKindOf(row.text(4));
    if (!verdict || !kind) return std::nullopt;
    FlagDecision decision;
    decision.id = row.integer(1);
    decision.verdict = *verdict;
    decision.on = row.text(3) == "reference" ? FlaggedTrace::Reference : FlaggedTrace::Test;
    decision.kind = *kind;
    decision.span = {instant(row, 5), instant(row, 6)};
    if (!row.isNull(7)) {
        decision.newKind = flags::flagKindOf(row.text(7));
        if (!decision.newKind) return std::nullopt;
    }
    if (!row.isNull(8) && !row.isNull(9))
        decision.newSpan = Span<RecordingClock>{instant(row, 8), instant(row, 9)};
    if (!row.isNull(10)) decision.excludes = row.integer(10) != 0;
    decision.note = row.text(11);
    decision.blind = row.integer(12) != 0;
    decision.round = static_cast<int>(row.integer(13));
    decision.at = Micros{row.integer(14)};
    return decision;
}

void insertDecision(Database& database, WearingId wearing, const FlagDecision& decision) {
    const auto maybe = [&](bool begin) {
        return decision.newSpan
                   ? std::optional{micros(begin ? decision.newSpan->begin : decision.newSpan->end)}
                   : std::nullopt;
    };
    std::optional<std::string> newKind;
    if (decision.newKind) newKind = flags::flagKindName(*decision.newKind);
    std::optional<std::int64_t> excludes;
    if (decision.excludes.has_value()) excludes = decision.excludes.value() ? 1 : 0;
    database.run(
        "INSERT INTO flag_decision (wearing_id, number, verdict, flagged, kind, begin_us, end_us, new_kind, "
        "new_begin_us, new_end_us, excludes, note, blind, round, decided_at_us) VALUES (?, ?, ?, ?, ?, ?, ?, "
        "?, ?, ?, ?, ?, ?, ?, ?)",
        wearing, decision.id, flags::verdictName(decision.verdict), traceName(decision.on),
        flags::flagKindName(decision.kind), micros(decision.span.begin), micros(decision.span.end), newKind,
        maybe(true), maybe(false), excludes, decision.note, std::int64_t{decision.blind},
        std::int64_t{decision.round}, std::int64_t{decision.at.count()});
}

std::vector<flags::ReviewPass> passesOf(Database& database, SessionId session) {
    std::vector<flags::ReviewPass> passes;
    auto rows = database.statement(
        "SELECT number, blind, begun_at_us, finished_at_us FROM review_pass WHERE session_id = ? ORDER BY "
        "number",
        session);
    while (rows.step()) {
        flags::ReviewPass pass{
            static_cast<int>(rows.integer(0)), rows.integer(1) != 0, Micros{rows.integer(2)}, {}};
        if (!rows.isNull(3)) pass.finished = Micros{rows.integer(3)};
        passes.push_back(pass);
    }
    return passes;
}

}  // namespace

std::vector<FlagDecision> SessionReview::of(WearingId wearing, FlaggedTrace on) const {
    const auto found = std::ranges::find(wearings, wearing, &WearingDecisions::wearing);
    if (found == wearings.end()) return {};
    auto these = found->decisions;
    std::erase_if(these, [on](const FlagDecision& decision) { return decision.on != on; });
    return these;
}

void SessionReview::set(WearingId wearing, FlaggedTrace on, std::vector<FlagDecision> decisions) {
    auto found = std::ranges::find(wearings, wearing, &WearingDecisions::wearing);
    if (found == wearings.end()) found = wearings.insert(wearings.end(), {wearing, {}});
    std::erase_if(found->decisions, [on](const FlagDecision& decision) { return decision.on == on; });
    std::ranges::move(decisions, std::back_inserter(found->decisions));
    std::ranges::sort(found->decisions, {}, &FlagDecision::id);
    if (found->decisions.empty()) wearings.erase(found);
    std::ranges::sort(wearings, {}, &WearingDecisions::wearing);
}

std::int64_t SessionReview::nextId() const {
    std::int64_t highest = 0;
    for (const auto& wearing : wearings)
        for (const auto& decision : wearing.decisions)
            highest = std::max(highest, decision.id);
    return highest + 1;
}

std::optional<SessionReview> reviewRow(Database& database, SessionId session) {
    if (!database.number("SELECT id FROM session WHERE id = ?", session)) return std::nullopt;
    SessionReview review;
    auto rows = database.statement(
        fmt::format("SELECT {} FROM flag_decision d JOIN wearing w ON w.id = d.wearing_id WHERE w.session_id "
                    "= ? ORDER BY d.wearing_id, d.number",
                    decisionColumns),
        session);
    while (rows.step()) {
        auto decision = decisionAt(rows);
        if (!decision) {
            database.fail(FaultCode::LibraryDamaged,
                          fmt::format("session {} has a decision \"{} {}\" that is unknown", session.value,
                                      rows.text(2), rows.text(4)));
            return std::nullopt;
        }
        const WearingId wearing{rows.integer(0)};
        if (review.wearings.empty() || review.wearings.back().wearing != wearing)
            review.wearings.push_back({wearing, {}});
        review.wearings.back().decisions.push_back(std::move(*decision));
    }
    review.passes = passesOf(database, session);
    return review;
}

void replaceReview(Database& database, SessionId session, const SessionReview& review) {
    if (!database.number("SELECT id FROM session WHERE id = ?", session) && !database.failed())
        return database.fail(
            FaultCode::NotInLibrary,
            fmt::format("the library has no session {}; nothing was changed", session.value));
    database.run(
        "DELETE FROM flag_decision WHERE wearing_id IN (SELECT id FROM wearing WHERE session_id = ?)",
        session);
    for (const auto& [wearing, decisions] : review.wearings) {
        if (database.number("SELECT session_id FROM wearing WHERE id = ?", wearing) != session.value &&
            !database.failed())
            return database.fail(FaultCode::WrongUsage,
                                 fmt::format("the session {} has no wearing {}; nothing was changed",
                                             session.value, wearing.value));
        for (const auto& decision : decisions)
            insertDecision(database, wearing, decision);
    }
    database.run("DELETE FROM review_pass WHERE session_id = ?", session);
    for (const auto& pass : review.passes)
        database.run(
            "INSERT INTO review_pass (session_id, number, blind, begun_at_us, finished_at_us) VALUES (?, ?, "
            "?, ?, ?)",
            session, std::int64_t{pass.number}, std::int64_t{pass.blind}, std::int64_t{pass.begun.count()},
            pass.finished ? std::optional{std::int64_t{pass.finished->count()}} : std::nullopt);
}

std::map<SessionId, std::string> decisionTexts(Database& database, std::optional<ProjectId> project) {
    std::map<SessionId, std::string> texts;
    auto rows = database.statement(
        "SELECT w.session_id, d.wearing_id, d.number, d.verdict, d.flagged, d.kind, d.begin_us, d.end_us, "
        "coalesce(d.new_kind, '-'), coalesce(d.new_begin_us, '-'), coalesce(d.new_end_us, '-'), "
        "coalesce(d.excludes, '-'), d.round FROM flag_decision d JOIN wearing w ON w.id = d.wearing_id WHERE "
        "d.round < coalesce((SELECT min(number) FROM review_pass p WHERE p.session_id = w.session_id AND "
        "p.finished_at_us IS NULL), 1000000000) AND w.deleted_at_us IS NULL AND (?1 IS NULL OR w.session_id "
        "IN (SELECT session_id FROM project_session WHERE project_id = ?1)) ORDER BY w.session_id, "
        "d.wearing_id, d.number",
        project);
    while (rows.step()) {
        auto& text = texts[SessionId{rows.integer(0)}];
        for (int column = 1; column <= 12; ++column)
            text += rows.text(column) + (column < 12 ? " " : "\n");
    }
    auto passes = database.statement(
        "SELECT session_id, number FROM review_pass WHERE finished_at_us IS NOT NULL AND (?1 IS NULL OR "
        "session_id IN (SELECT session_id FROM project_session WHERE project_id = ?1)) ORDER BY session_id, "
        "number",
        project);
    while (passes.step())
        texts[SessionId{passes.integer(0)}] += fmt::format("pass {}\n", passes.integer(1));
    return texts;
}

}  // namespace beatwitness::library
