#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <ostream>

#include "app/verbs/manifest.h"
#include "app/verbs/store_sessions.h"
#include "app/verbs/verb.h"
#include "core/foundation/text.h"

namespace beatwitness::verbs {
namespace {

using library::Role;

Fault wrongUsage(std::string message) {
    return {FaultCode::WrongUsage, std::move(message), {}, {}, {}};
}

/// `DEVICE=FILE`, split at the first `=`.
Result<PlannedWearing> wearingOf(const std::string& word, Role role) {
    const auto at = word.find('=');
    if (at == std::string::npos || at == 0 || at + 1 == word.size())
        return wrongUsage(fmt::format("{} takes DEVICE=FILE, not \"{}\"",
                                      role == Role::Reference ? "--reference" : "--test", printable(word)));
    PlannedWearing wearing;
    wearing.draft.role = role;
    wearing.draft.device = word.substr(0, at);
    wearing.files.push_back(word.substr(at + 1));
    return wearing;
}

Result<Manifest> plannedByWords(const AddArguments& arguments) {
    PlannedSession session;
    session.draft.name = arguments.session;
    session.draft.activity = arguments.activity;
    for (const auto& word : arguments.references) {
        auto wearing = wearingOf(word, Role::Reference);
        if (!wearing) return wearing.fault();
        session.wearings.push_back(std::move(*wearing));
    }
    for (const auto& word : arguments.tests) {
        auto wearing = wearingOf(word, Role::Test);
        if (!wearing) return wearing.fault();
        session.wearings.push_back(std::move(*wearing));
    }
    Manifest manifest;
    manifest.sessions.push_back(std::move(session));
    return manifest;
}

Result<Manifest> planned(const AddArguments& arguments) {
    if (arguments.manifest.empty()) return plannedByWords(arguments);
    return readManifest(arguments.manifest);
}

Result<StoredSessions> added(const AddArguments& arguments) {
    const auto manifest = planned(arguments);
    if (!manifest) return manifest.fault();
    return storeSessions(arguments.library, *manifest, arguments.project, arguments.read);
}

void printJson(const AddArguments& arguments, const StoredSessions& outcome, std::ostream& out) {
    using Json = nlohmann::ordered_json;
    Json sessions = Json::array();
    for (const auto& session : outcome.sessions)
        sessions.push_back({{"name", session.name},
                            {"id", session.added.id.value},
                            {"new", session.added.isNew},
                            {"wearings", session.wearings},
                            {"already_stored", session.added.alreadyStored}});
    const Json all{{"schema", "beatwitness.add/1"},
                   {"library", arguments.library},
                   {"project", outcome.project},
                   {"sessions", sessions},
                   {"warnings", outcome.warnings}};
    out << all.dump(2, ' ', false, Json::error_handler_t::replace) << '\n';
}

void printText(const AddArguments& arguments, const StoredSessions& outcome, std::ostream& out) {
    for (const auto& session : outcome.sessions) {
        if (session.added.isNew)
            out << fmt::format("{}: stored in project \"{}\", {} wearing{}\n", session.name, outcome.project,
                               session.wearings, session.wearings == 1 ? "" : "s");
        else
            out << fmt::format("{}: already in {}; nothing new, it is in project \"{}\"\n", session.name,
                               arguments.library, outcome.project);
        if (!session.added.isNew) continue;
        for (const auto& file : session.added.alreadyStored)
            out << fmt::format("  {}: already stored, its recording is used again\n", file);
    }
}

}  // namespace

ExitCode addSessions(const AddArguments& arguments, const Streams& streams) {
    const auto outcome = added(arguments);
    if (!outcome) return reportFault(outcome.fault(), arguments.json, streams);
    for (const auto& warning : outcome->warnings)
        streams.err << warning << '\n';
    if (arguments.json)
        printJson(arguments, *outcome, streams.out);
    else
        printText(arguments, *outcome, streams.out);
    return ExitCode::Done;
}

}  // namespace beatwitness::verbs
