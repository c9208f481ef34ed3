#include "app/document/document.h"

#include <algorithm>
#include <cassert>
#include <filesystem>

#include "app/document/annotations.h"
#include "app/document/change_session.h"
#include "app/document/selection.h"
#include "core/recording/read_recording.h"

namespace beatwitness::app {
namespace {

using ReadResults = std::vector<Result<SharedFile>>;

Result<SharedFile> readOne(const std::filesystem::path& path, const RunControl& run) {
    auto file = recording::readRecordingFile(path, {}, run);
    if (!file) {
        Fault fault = file.fault();
        if (fault.file.empty()) fault.file = path.string();
        return fault;
    }
    return std::make_shared<const recording::RecordingFile>(std::move(*file));
}

ReadResults readAll(const std::vector<std::filesystem::path>& paths, const RunControl& run) {
    ReadResults results;
    const auto total = static_cast<double>(paths.size());
    for (std::size_t i = 0; i < paths.size() && !run.stopRequested(); ++i) {
        const auto begin = static_cast<double>(i);
        results.push_back(readOne(paths[i], run.part(begin / total, (begin + 1.0) / total)));
        run.progress((begin + 1.0) / total);
    }
    return results;
}

bool samePlan(const SessionPlan& a, const SessionPlan& b) {
    const auto sameTest = [](const SessionPlan::Test& x, const SessionPlan::Test& y) {
        return x.file == y.file;
    };
    return a.reference == b.reference && a.contexts == b.contexts &&
           std::ranges::equal(a.tests, b.tests, sameTest);
}

}  // namespace

Document::Document(QUndoStack& undo, QObject* parent)
    : QObject(parent),
      annotations_(new Annotations(*this)),
      selection_(new Selection(*this, *annotations_)),
      undo_(undo) {}

void Document::readFiles(const QStringList& paths) {
    std::vector<std::filesystem::path> files;
    for (const auto& path : paths)
        files.emplace_back(path.toStdString());
    const QString what = paths.size() == 1
                             ? tr("Reading %1 …").arg(QString::fromStdString(files[0].filename().string()))
                             : tr("Reading %n recordings …", nullptr, static_cast<int>(paths.size()));
    runner_.run(
        what, [files](const RunControl& run) { return readAll(files, run); },
        [this](const ReadResults& results) { emit filesRead(results); });
}

void Document::carryOut(SessionPlan plan, const QString& what) {
    assert(plan.reference && !plan.tests.empty());
    runner_.run(
        tr("Comparing …"), [plan](const RunControl& run) { return analysePlan(plan, run); },
        [this, plan, what](Result<analysis::SessionAnalysis> result) {
            if (!result) {
                emit failed(what, result.fault());
                return;
            }
            commit({plan, std::make_shared<const analysis::SessionAnalysis>(std::move(*result))}, what);
        });
}

void Document::swapRoles() {
    assert(hasSession());
    makeReference(now_.plan.tests[focus_].file);
}

void Document::makeReference(const SharedFile& file) {
    if (!hasSession() || file == now_.plan.reference) return;
    if (isStored_) {
        emit storedReferenceAsked(file);
        return;
    }
    SessionPlan next = now_.plan;
    for (auto& test : next.tests) {
        if (test.file == file) test.file = next.reference;
        // Typed offsets were measured against the old reference.
        test.request = analysis::Request{};
    }
    next.reference = file;
    carryOut(std::move(next), tr("swap of reference and test"));
}

void Document::replaceReading(const SharedFile& file, const SharedFile& anew) {
    if (!hasSession()) return;
    SessionPlan next = now_.plan;
    if (next.reference == file) next.reference = anew;
    for (auto& test : next.tests)
        if (test.file == file) test.file = anew;
    for (auto& context : next.contexts)
        if (context == file) context = anew;
    const auto name = std::filesystem::path(file->file).filename().string();
    carryOut(std::move(next), tr("other reading of %1").arg(QString::fromStdString(name)));
}

void Document::align(alignment::Method method, Seconds offset, Ppm drift, analysis::OffsetReason reason) {
    if (!hasSession()) return;
    if (isStored_) {
        if (method != alignment::Method::None) setWantsAligned(true);
        emit storedClockAsked(focus_, {method, offset, drift}, reason);
        return;
    }
    SessionPlan next = now_.plan;
    auto& request = next.tests[focus_].request;
    request.align = method;
    const bool set = method == alignment::Method::Offset;
    request.offset = set ? offset : Seconds{};
    request.drift = set ? drift : Ppm{};
    request.reason = set ? reason : analysis::OffsetReason::ByHand;
    const QString what = set && reason == analysis::OffsetReason::SharedClock ? tr("shared clock")
                         : set && reason == analysis::OffsetReason::SyncEvent ? tr("sync event")
                         : method == alignment::Method::Offset                ? tr("typed offset")
                         : method == alignment::Method::Auto                  ? tr("automatic alignment")
                                                                              : tr("no alignment");
    // Who asks for an offset wants to see what it does.
    if (method != alignment::Method::None) setWantsAligned(true);
    carryOut(std::move(next), what);
}

void Document::clear() {
    if (isStored_)
        showStored({});
    else if (hasSession())
        commit({}, tr("clearing of the session"));
}

void Document::showStored(const Snapshot& snapshot) {
    const bool stored = snapshot.analysis != nullptr;
    if (stored || hasSession()) putInForce(snapshot, stored);
}

void Document::commit(Snapshot next, const QString& what) {
    // What stood there of the library comes back from the library, not from an undo step.
    undo_.push(new ChangeSession(*this, isStored_ ? Snapshot{} : now_, std::move(next), what));
}

void Document::restore(const Snapshot& snapshot) {
    putInForce(snapshot, false);
}

void Document::putInForce(const Snapshot& snapshot, bool stored) {
    runner_.cancel();  // work begun on the other side would overwrite this one
    isStored_ = stored;
    const bool otherFiles = !samePlan(now_.plan, snapshot.plan);
    now_ = snapshot;
    if (!hasSession() || focus_ >= now_.analysis->tests.size()) focus_ = 0;
    if (otherFiles) emit recordingsChanged();
    emit analysisChanged();
}

void Document::setWantsAligned(bool aligned) {
    if (aligned == wantsAligned_) return;
    wantsAligned_ = aligned;
    emit clockViewChanged();
}

void Document::setFocusTest(std::size_t index) {
    if (!hasSession() || index >= now_.analysis->tests.size() || index == focus_) return;
    focus_ = index;
    emit focusTestChanged();
}

}  // namespace beatwitness::app
