#include "app/document/headlines.h"

#include <algorithm>
#include <chrono>
#include <utility>

#include "core/evaluation/outcomes.h"

namespace beatwitness::app {
namespace {

using namespace library;

/// How long the worker works between two deliveries: cells fill as one watches, and a change gets its turn.
constexpr std::chrono::milliseconds stretch{150};

/// Whether two rows of one session lead to the same numbers.
bool scoresAlike(const SessionRow& a, const SessionRow& b) {
    const auto sameSpan = [](const auto& x, const auto& y) {
        return x.has_value() == y.has_value() && (!x || (x->begin == y->begin && x->end == y->end));
    };
    const auto sameUse = [&](const RecordingUse& x, const RecordingUse& y) {
        return x.recording == y.recording && sameSpan(x.span, y.span);
    };
    const auto sameWearing = [&](const WearingRow& x, const WearingRow& y) {
        return x.id == y.id && x.role == y.role && x.device == y.device && x.clock == y.clock &&
               std::ranges::equal(x.recordings, y.recordings, sameUse);
    };
    return sameSpan(a.counted, b.counted) && std::ranges::equal(a.wearings, b.wearings, sameWearing);
}

void addOutcome(std::map<DeviceId, Headline>& headlines, const WearingRow& wearing,
                const analysis::WearingOutcome& outcome) {
    if (!outcome.hasHeartRate || wearing.role != Role::Test) return;
    auto& headline = headlines[wearing.device];
    headline.sums += outcome.refused ? outcome.asRecorded.sums : outcome.aligned.sums;
    headline.refused = headline.refused || outcome.refused;
}

/// A fault of one session's recordings leaves it without numbers; it must not take the others' away.
bool isOfOneSession(const Fault& fault) {
    return fault.code == FaultCode::NoHeartRate || fault.code == FaultCode::TooLong ||
           fault.code == FaultCode::LibraryDamaged || fault.code == FaultCode::NotInLibrary;
}

}  // namespace

std::optional<double> Headline::mae() const {
    return sums.n > 0 ? std::optional{sums.absolute / sums.n} : std::nullopt;
}

Headlines::Headlines(LibraryDocument& library, QObject* parent) : QObject(parent), library_(library) {
    connect(&library_, &LibraryDocument::closed, this, &Headlines::forget);
    connect(&library_, &LibraryDocument::changed, this, &Headlines::follow);
}

const Headline* Headlines::of(SessionId session, DeviceId device) const {
    const auto entry = done_.find(session.value);
    if (entry == done_.end()) return nullptr;
    const auto found = entry->second.devices.find(device);
    return found == entry->second.devices.end() ? nullptr : &found->second;
}

void Headlines::prefer(std::vector<SessionId> sessions) {
    preferred_ = std::move(sessions);
}

void Headlines::setProject(ProjectId project) {
    if (project == project_) return;
    project_ = project;
    kept_.reset();
    follow();
}

void Headlines::forget() {
    runner_.cancel();
    reader_.reset();
    kept_.reset();
    done_.clear();
    waiting_.clear();
    preferred_.clear();
    project_ = {};
}

void Headlines::follow(const LibraryChange& change) {
    if (!library_.isOpen()) return;
    const auto& contents = *library_.contents();
    const auto* project = contents.project(project_);
    const bool otherThresholds = project && project->thresholds != thresholds_;
    if (otherThresholds) thresholds_ = project->thresholds;
    if (otherThresholds || !change.reviews.empty()) kept_.reset();
    std::vector<SessionId> stale;
    std::vector<LibraryContents::Session> todo;
    for (auto session = contents.sessions.rbegin(); session != contents.sessions.rend(); ++session) {
        const auto known = done_.find((*session)->id.value);
        const bool decided = otherThresholds || change.reviews.contains((*session)->id);
        if (known != done_.end() && !decided &&
            (known->second.from == *session || scoresAlike(*known->second.from, **session))) {
            known->second.from = *session;
            continue;
        }
        if (known != done_.end()) {
            stale.push_back((*session)->id);
            done_.erase(known);
        }
        if (contents.isMember(project_, (*session)->id)) todo.push_back(*session);
    }
    // A stretch under way may hold what was decided since.
    if (todo == waiting_ && change.reviews.empty() && !otherThresholds) return;
    waiting_ = std::move(todo);
    kept_.reset();
    if (!stale.empty()) emit changed(stale);
    goOn();
}

void Headlines::putPreferredFirst() {
    auto preferred = std::exchange(preferred_, {});
    for (auto id = preferred.rbegin(); id != preferred.rend(); ++id) {
        const auto found = std::ranges::find(waiting_, *id, [](const auto& session) { return session->id; });
        if (found != waiting_.end()) std::rotate(found, found + 1, waiting_.end());
    }
}

Headlines::Stretch Headlines::workOn(Stretch at, const std::vector<LibraryContents::Session>& sessions,
                                     const std::string& path, ProjectId project, const RunControl& run) {
    const auto failed = [&at](const Fault& fault) {
        at.fault = fault;
        return std::move(at);
    };
    if (!at.reader) {
        auto opened = Library::open(path, {.write = false});
        if (!opened) return failed(opened.fault());
        at.reader = std::make_shared<Library>(std::move(*opened));
    }
    if (!at.kept) {
        auto kept = evaluation::KeptOutcomes::of(*at.reader, project, true);
        if (!kept) return failed(kept.fault());
        at.kept = std::make_shared<const evaluation::KeptOutcomes>(std::move(*kept));
    }
    const auto begun = std::chrono::steady_clock::now();
    for (auto session = sessions.rbegin(); session != sessions.rend(); ++session) {
        const auto& row = **session;
        std::map<DeviceId, Headline> headlines;
        if (at.kept->holds(row)) {
            for (const auto* wearing : evaluation::scoredWearings(row))
                addOutcome(headlines, *wearing, *at.kept->find(row.id, wearing->id));
        } else {
            auto outcomes = evaluation::analysedOutcomes(*at.reader, row, *at.kept, run);
            if (!outcomes && !isOfOneSession(outcomes.fault())) return failed(outcomes.fault());
            if (outcomes)
                for (auto& stored : *outcomes) {
                    const auto wearing = std::ranges::find(row.wearings, stored.wearing, &WearingRow::id);
                    addOutcome(headlines, *wearing, stored.outcome);
                    at.fresh.push_back(std::move(stored));
                }
        }
        at.done.emplace_back(*session, std::move(headlines));
        if (run.stopRequested() || std::chrono::steady_clock::now() - begun > stretch) break;
    }
    return at;
}

void Headlines::goOn() {
    if (waiting_.empty() || !library_.isOpen()) return;
    putPreferredFirst();
    runner_.run(
        tr("Working out headline numbers …"),
        [at = Stretch{reader_, kept_, {}, {}, {}}, sessions = waiting_, path = library_.path().toStdString(),
         project = project_](const RunControl& run) { return workOn(at, sessions, path, project, run); },
        [this](Stretch done) { take(std::move(done)); });
}

void Headlines::take(Stretch stretchDone) {
    reader_ = std::move(stretchDone.reader);
    kept_ = std::move(stretchDone.kept);
    if (stretchDone.fault) {
        waiting_.clear();
        emit failed(*stretchDone.fault);
        return;
    }
    std::vector<SessionId> ids;
    std::set<SessionId> gone;
    for (auto& [session, devices] : stretchDone.done) {
        ids.push_back(session->id);
        gone.insert(session->id);
        done_.insert_or_assign(session->id.value, Entry{session, std::move(devices)});
    }
    std::erase_if(waiting_, [&](const auto& session) { return gone.contains(session->id); });
    library_.keepOutcomes(stretchDone.fresh);
    emit changed(ids);
    goOn();
}

}  // namespace beatwitness::app
