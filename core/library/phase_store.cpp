#include "core/library/phase_store.h"

#include <fmt/format.h>

namespace beatwitness::library {
namespace {

std::int64_t micros(ReferenceTime time) {
    return time.time_since_epoch().count();
}

}  // namespace

trace::PhasePlan phaseRows(Database& database, SessionId session) {
    trace::PhasePlan phases;
    auto rows = database.statement(
        "SELECT begin_us, end_us, kind, label, level, origin FROM phase WHERE session_id = ? ORDER BY "
        "ordinal",
        session);
    while (rows.step()) {
        const auto kind = trace::phaseKindOf(rows.text(2));
        const auto origin = trace::phaseOriginOf(rows.text(5));
        if (!kind || !origin) {
            database.fail(FaultCode::LibraryDamaged,
                          fmt::format("session {} has a phase of the unknown kind \"{}\"", session.value,
                                      rows.text(2)));
            return {};
        }
        phases.push_back({{ReferenceTime{Micros{rows.integer(0)}}, ReferenceTime{Micros{rows.integer(1)}}},
                          *kind,
                          *origin,
                          static_cast<int>(rows.integer(4)),
                          rows.text(3)});
    }
    return phases;
}

void replacePhases(Database& database, SessionId session, const trace::PhasePlan& phases) {
    database.run("DELETE FROM phase WHERE session_id = ?", session);
    std::int64_t ordinal = 0;
    for (const auto& phase : phases)
        database.run(
            "INSERT INTO phase (session_id, ordinal, begin_us, end_us, kind, label, level, origin) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            session, ordinal++, micros(phase.span.begin), micros(phase.span.end),
            trace::phaseKindName(phase.kind), phase.label, std::int64_t{phase.level},
            trace::phaseOriginName(phase.origin));
}

std::vector<trace::Pin> pinRows(Database& database, SessionId session) {
    std::vector<trace::Pin> pins;
    auto rows = database.statement("SELECT at_us, note FROM pin WHERE session_id = ? ORDER BY at_us, ordinal",
                                   session);
    while (rows.step())
        pins.push_back({ReferenceTime{Micros{rows.integer(0)}}, rows.text(1)});
    return pins;
}

void replacePins(Database& database, SessionId session, std::span<const trace::Pin> pins) {
    database.run("DELETE FROM pin WHERE session_id = ?", session);
    std::int64_t ordinal = 0;
    for (const auto& pin : pins)
        database.run("INSERT INTO pin (session_id, ordinal, at_us, note) VALUES (?, ?, ?, ?)", session,
                     ordinal++, micros(pin.at), pin.note);
}

}  // namespace beatwitness::library
