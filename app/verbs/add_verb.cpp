#include <fmt/format.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <ostream>
#include <unordered_map>

#include "app/verbs/manifest.h"
#include "app/verbs/verb.h"
#include "core/foundation/text.h"
#include "core/library/library.h"
#include "core/trace/trace.h"

namespace beatwitness::verbs {
namespace {

using library::Role;

struct Stored {
    std::string name;
    std::size_t wearings = 0;
    library::AddedSession added;
};

struct Outcome {
    std::string project;
    std::vector<Stored> sessions;
    std::vector<std::string> warnings;
};

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

/// Reads the files of a session and hands it to the batch: one session at a time is in memory.
class Storing {
public:
    Storing(library::Batch& batch, const recording::ReadOptions& read, Outcome& outcome)
        : batch_{batch}, read_{read}, outcome_{outcome} {}

    Result<Done> store(const PlannedSession& session) {
        auto draft = session.draft;
        for (const auto& wearing : session.wearings) {
            draft.wearings.push_back(wearing.draft);
            for (const auto& name : wearing.files) {
                auto file = library::readForLibrary(name, read_);
                if (!file) return file.fault();
                tell(**file, wearing.draft.role);
                draft.wearings.back().recordings.push_back({std::move(*file), wearing.span});
            }
        }
        auto added = batch_.add(draft);
        if (!added) return added.fault();
        for (const auto& name : added->readOtherwise)
            outcome_.warnings.push_back(
                name +
                ": the library has this file already and reads it in another way; that reading stands.");
        outcome_.sessions.push_back({draft.name, draft.wearings.size(), std::move(*added)});
        return Done{};
    }

private:
    void tell(const library::ReadFile& file, Role role) {
        for (const auto& warning : file.read.recording.warnings)
            outcome_.warnings.push_back(file.read.file + ": " + warning);
        if (role != Role::Context && trace::traceOf(file.read.recording).empty())
            outcome_.warnings.push_back(file.read.file + ": it holds no valid heart rate.");
    }

    library::Batch& batch_;
    const recording::ReadOptions& read_;
    Outcome& outcome_;
};

Result<Done> storeAll(library::Library& library, const Manifest& manifest, const AddArguments& arguments,
                      Outcome& outcome) {
    auto batch = library.beginBatch(outcome.project);
    if (!batch) return batch.fault();
    Storing storing{*batch, arguments.read, outcome};
    for (const auto& session : manifest.sessions)
        if (auto stored = storing.store(session); !stored) return stored;
    return batch->commit();
}

Result<Outcome> added(const AddArguments& arguments) {
    auto manifest = planned(arguments);
    if (!manifest) return manifest.fault();
    Outcome outcome;
    outcome.project = !arguments.project.empty()   ? arguments.project
                      : !manifest->project.empty() ? manifest->project
                                                   : std::string{library::defaultProject};
    outcome.warnings = manifest->warnings;
    bool isOurs = false;
    std::optional<Fault> fault;
    {
        auto library = library::Library::open(arguments.library, {.createIfAbsent = true});
        if (!library) return library.fault();
        isOurs = library->wasCreated();
        if (auto done = storeAll(*library, *manifest, arguments, outcome); !done) fault = done.fault();
    }
    if (!fault) return outcome;
    std::error_code ignored;
    if (isOurs) std::filesystem::remove(arguments.library, ignored);  // nothing is stored, not even a library
    return *fault;
}

void printJson(const AddArguments& arguments, const Outcome& outcome, std::ostream& out) {
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

void printText(const AddArguments& arguments, const Outcome& outcome, std::ostream& out) {
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
