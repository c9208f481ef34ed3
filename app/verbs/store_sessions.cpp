#include "app/verbs/store_sessions.h"

#include <utility>

#include "core/library/library.h"
#include "core/trace/trace.h"

namespace beatwitness::verbs {
namespace {

using library::Role;

/// Reads the files of a session and hands it to the batch.
class Storing {
public:
    Storing(library::Batch& batch, const recording::ReadOptions& read, StoredSessions& stored)
        : batch_{batch}, read_{read}, stored_{stored} {}

    Result<Done> store(const PlannedSession& session, const RunControl& run) {
        auto draft = session.draft;
        for (const auto& wearing : session.wearings) {
            draft.wearings.push_back(wearing.draft);
            for (const auto& name : wearing.files) {
                if (run.stopRequested()) return cancelled();
                auto file = library::readForLibrary(name, read_);
                if (!file) return file.fault();
                tell(**file, wearing.draft.role);
                draft.wearings.back().recordings.push_back({std::move(*file), wearing.span});
            }
        }
        auto added = batch_.add(draft, run);
        if (!added) return added.fault();
        for (const auto& name : added->readOtherwise)
            stored_.warnings.push_back(
                name +
                ": the library has this file already and reads it in another way; that reading stands.");
        stored_.sessions.push_back({draft.name, draft.wearings.size(), std::move(*added)});
        return Done{};
    }

private:
    void tell(const library::ReadFile& file, Role role) {
        for (const auto& warning : file.read.recording.warnings)
            stored_.warnings.push_back(file.read.file + ": " + warning);
        if (role != Role::Context && trace::traceOf(file.read.recording).empty())
            stored_.warnings.push_back(file.read.file + ": it holds no valid heart rate.");
    }

    library::Batch& batch_;
    const recording::ReadOptions& read_;
    StoredSessions& stored_;
};

Result<Done> storeAll(library::Library& library, const Manifest& manifest, const recording::ReadOptions& read,
                      StoredSessions& stored, const RunControl& run) {
    auto batch = library.beginBatch(stored.project);
    if (!batch) return batch.fault();
    Storing storing{*batch, read, stored};
    const auto count = static_cast<double>(manifest.sessions.size());
    for (std::size_t i = 0; i < manifest.sessions.size(); ++i) {
        const auto part = run.part(static_cast<double>(i) / count, static_cast<double>(i + 1) / count);
        if (auto done = storing.store(manifest.sessions[i], part); !done) return done;
        part.progress(1.0);
    }
    return batch->commit();
}

}  // namespace

Result<StoredSessions> storeSessions(const std::filesystem::path& path, const Manifest& manifest,
                                     const std::string& project, const recording::ReadOptions& read,
                                     const RunControl& run) {
    StoredSessions stored;
    stored.project = !project.empty()            ? project
                     : !manifest.project.empty() ? manifest.project
                                                 : std::string{library::defaultProject};
    stored.warnings = manifest.warnings;
    bool isOurs = false;
    std::optional<Fault> fault;
    {
        auto library = library::Library::open(path, {.createIfAbsent = true});
        if (!library) return library.fault();
        isOurs = library->wasCreated();
        if (auto done = storeAll(*library, manifest, read, stored, run); !done) fault = done.fault();
    }
    if (!fault) return stored;
    std::error_code ignored;
    if (isOurs) std::filesystem::remove(path, ignored);  // nothing is stored, not even a library
    return *fault;
}

}  // namespace beatwitness::verbs
