#include "core/library/batch.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/foundation/text.h"
#include "core/library/journal.h"
#include "core/library/names.h"

namespace beatwitness::library {
namespace {

std::optional<Fault> wrong(const SessionDraft& draft, std::string_view what) {
    return Fault{FaultCode::WrongUsage,
                 fmt::format("session \"{}\": {}; nothing was stored", printable(draft.name), what),
                 {},
                 {},
                 {}};
}

bool hasDate(const RecordingDraft& use) {
    return use.file->read.recording.clock != recording::ClockBasis::None;
}

std::optional<Fault> checkWearing(const SessionDraft& draft, const WearingDraft& wearing) {
    const auto& uses = wearing.recordings;
    const auto device = printable(wearing.device);
    if (wearing.device.empty()) return wrong(draft, "a wearing without a device; its label was expected");
    if (wearing.outcome == WearingOutcome::Recorded && uses.empty())
        return wrong(
            draft,
            fmt::format("{} is said to have recorded, but has no file; a file, or the outcome \"failed\" "
                        "was expected",
                        device));
    if (std::ranges::any_of(uses,
                            [](const auto& use) { return use.span && use.span->end < use.span->begin; }))
        return wrong(draft, fmt::format("the span of {} ends before it begins", device));
    if (std::ranges::any_of(uses, hasDate) && !std::ranges::all_of(uses, hasDate))
        return wrong(draft, fmt::format("{} draws from files with and without a date, which have no common "
                                        "clock",
                                        device));
    return std::nullopt;
}

std::optional<Fault> checkDraft(const SessionDraft& draft) {
    if (draft.name.empty() && !draft.joins) return wrong(draft, "a session needs a name");
    for (const auto& wearing : draft.wearings)
        if (auto fault = checkWearing(draft, wearing)) return fault;
    return std::nullopt;
}

std::vector<std::string> filesOf(const SessionDraft& draft) {
    std::vector<std::string> files;
    for (const auto& wearing : draft.wearings)
        for (const auto& use : wearing.recordings)
            files.push_back(use.file->read.file);
    return files;
}

}  // namespace

Batch::Batch(Database& database, std::string_view project)
    : database_{&database}, transaction_{database, Durability::Full} {
    const auto found = findByLabel<ProjectId>(database, project);
    project_ = found ? *found : findOrAdd<ProjectId>(database, project);
    if (!found) note(database, fmt::format("project \"{}\" added", project), std::nullopt);
}

Fault Batch::dead(Fault fault) {
    failure_ = fault;
    return fault;
}

Result<AddedSession> Batch::add(const SessionDraft& draft, const RunControl& run) {
    if (failure_) return *failure_;
    if (run.stopRequested()) return dead(cancelled());
    if (auto fault = checkDraft(draft)) return dead(std::move(*fault));
    AddedSession added;
    if (draft.joins) {
        if (!database_->number("SELECT 1 FROM session WHERE id = ? AND deleted_at_us IS NULL", *draft.joins))
            database_->fail(FaultCode::NotInLibrary,
                            fmt::format("the library has no session {}", draft.joins->value));
        added = addToSession(*database_, writer_, *draft.joins, draft);
        if (added.isNew) note(*database_, fmt::format("{} wearings added", added.wearings.size()), added.id);
    } else if (const auto same = findSameSession(*database_, draft)) {
        added = {*same, false, filesOf(draft), {}, false, {}};
    } else {
        added = insertSession(*database_, writer_, draft);
        note(*database_, fmt::format("session \"{}\" added", draft.name), added.id);
    }
    joinProject(*database_, project_, added.id);
    if (auto done = database_->outcome(); !done) return dead(done.fault());
    return added;
}

Result<Done> Batch::commit() {
    if (failure_) return *failure_;
    return transaction_.commit();
}

}  // namespace beatwitness::library
