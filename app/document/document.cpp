#include "app/document/document.h"

#include <algorithm>
#include <cassert>
#include <filesystem>

#include "app/document/annotations.h"
#include "app/document/blind_session.h"
#include "app/document/change_session.h"
#include "app/document/reviewing.h"
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
      reviewing_(new Reviewing(*this)),
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
    plan.decisions = reviewing_->decisionsFor(plan);
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
    makeReference(plan().tests[focus_].file);
}

void Document::makeReference(const SharedFile& file) {
    if (!hasSession() || file == plan().reference || hindered(tr("swap of reference and test"))) return;
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
    if (!hasSession() || hindered(tr("other reading"))) return;
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
        emit storedClockAsked(trueIndex(focus_), {method, offset, drift}, reason);
        return;
    }
    SessionPlan next = now_.plan;
    auto& request = next.tests[trueIndex(focus_)].request;
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

void Document::setThresholds(const analysis::Settings& settings, const QString& what) {
    assert(hasSession() && !isStored_);
    SessionPlan next = now_.plan;
    next.settings = settings;
    carryOut(std::move(next), what);
}

void Document::redecide(const analysis::SessionDecisions& decisions) {
    if (!hasSession() || decisions == now_.plan.decisions) return;
    SessionPlan next = now_.plan;
    next.decisions = decisions;
    if (decisions.reference != now_.plan.decisions.reference) {
        runner_.run(
            tr("Comparing …"), [next](const RunControl& run) { return analysePlan(next, run); },
            [this, next](Result<analysis::SessionAnalysis> result) {
                if (!result) return emit failed(tr("decision on the reference"), result.fault());
                now_ = {next, std::make_shared<const analysis::SessionAnalysis>(std::move(*result))};
                show();
            });
        return;
    }
    auto session = *now_.analysis;
    for (std::size_t i = 0; i < next.tests.size(); ++i) {
        const auto wanted = decisions.ofTest(i);
        if (!std::ranges::equal(wanted, now_.plan.decisions.ofTest(i)))
            session = analysis::redecided(std::move(session), i, {wanted.begin(), wanted.end()});
    }
    now_ = {std::move(next), std::make_shared<const analysis::SessionAnalysis>(std::move(session))};
    show();
}

bool Document::hindered(const QString& what) {
    if (!blind_) return false;
    emit failed(
        what,
        Fault{
            FaultCode::WrongUsage,
            tr("device names are hidden; show them first, or roles would tell which is which").toStdString(),
            {},
            {},
            {}});
    return true;
}

void Document::setBlind(bool blind) {
    if (blind == blind_) return;
    blind_ = blind;
    order_.clear();
    focus_ = 0;
    hide();
    emit recordingsChanged();
    emit analysisChanged();
    emit focusTestChanged();
}

std::size_t Document::trueIndex(std::size_t index) const {
    return blind_ && index < order_.size() ? order_[index] : index;
}

void Document::show() {
    hide();
    emit analysisChanged();
}

void Document::hide() {
    shown_ = now_;
    if (blind_ && now_.analysis) {
        const auto count = now_.plan.tests.size();
        if (order_.size() != count) order_ = dealtOrder(count);
        shown_ = blinded(now_, order_);
    }
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
    if (otherFiles) order_.clear();
    if (!now_.analysis || focus_ >= now_.analysis->tests.size()) focus_ = 0;
    hide();
    if (otherFiles) emit recordingsChanged();
    emit analysisChanged();
    // An undo step may have kept numbers from before a decision.
    if (!stored && now_.analysis) redecide(reviewing_->decisionsFor(now_.plan));
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
