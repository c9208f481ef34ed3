#include "app/document/stored_session.h"

#include <algorithm>
#include <utility>

#include "app/document/annotations.h"
#include "app/document/library_marks.h"
#include "app/document/reviewing.h"
#include "core/analysis/settings_table.h"
#include "core/evaluation/outcomes.h"

namespace beatwitness::app {
namespace {

using namespace library;

WearingClock clockOf(const analysis::ClockRequest& request, analysis::OffsetReason reason) {
    if (request.align == alignment::Method::Auto) return {ClockMethod::Auto, {}, {}};
    if (request.align == alignment::Method::None) return {ClockMethod::None, {}, {}};
    if (reason == analysis::OffsetReason::SharedClock) return {ClockMethod::SharedSource, {}, {}};
    return {ClockMethod::Offset, request.offset, request.drift};
}

analysis::Request requestOf(const WearingClock& clock) {
    const auto asked = evaluation::clockRequestOf(clock);
    analysis::Request request;
    request.align = asked.align;
    request.offset = asked.offset;
    request.drift = asked.drift;
    if (clock.method == ClockMethod::SharedSource) request.reason = analysis::OffsetReason::SharedClock;
    return request;
}

bool drawsAlike(const WearingRow& a, const WearingRow& b) {
    const auto same = [](const RecordingUse& x, const RecordingUse& y) {
        return x.recording == y.recording && x.span.has_value() == y.span.has_value() &&
               (!x.span || (x.span->begin == y.span->begin && x.span->end == y.span->end));
    };
    return a.id == b.id && a.deviceLabel == b.deviceLabel &&
           std::ranges::equal(a.recordings, b.recordings, same);
}

bool countsAlike(const SessionRow& a, const SessionRow& b) {
    return a.counted.has_value() == b.counted.has_value() &&
           (!a.counted || (a.counted->begin == b.counted->begin && a.counted->end == b.counted->end));
}

/// Whether the numbers of one row are those of the other.
bool comparesAlike(const SessionRow& a, const SessionRow& b) {
    const auto same = [](const WearingRow& x, const WearingRow& y) {
        return x.role == y.role && x.clock == y.clock && drawsAlike(x, y);
    };
    return countsAlike(a, b) && std::ranges::equal(a.wearings, b.wearings, same);
}

/// What the user is shown is called as the library calls it.
SharedFile named(recording::RecordingFile file, const WearingRow& wearing) {
    file.recording.device = wearing.deviceLabel;
    if (!wearing.facts.unit.empty()) file.recording.device += " " + wearing.facts.unit;
    return std::make_shared<const recording::RecordingFile>(std::move(file));
}

Fault nothingToCompare(const char* message) {
    return {FaultCode::NothingToCompare, message, {}, {}, {}};
}

}  // namespace

StoredSession::StoredSession(LibraryDocument& library, Document& document, QObject* parent)
    : QObject(parent), library_(library), document_(document) {
    connect(&library_, &LibraryDocument::closed, this, &StoredSession::close);
    connect(&library_, &LibraryDocument::changed, this, &StoredSession::follow);
    connect(&document_, &Document::storedClockAsked, this, &StoredSession::storeClock);
    connect(&document_, &Document::storedReferenceAsked, this, &StoredSession::storeReference);
    // A loose pair took its place.
    connect(&document_, &Document::analysisChanged, this, [this] {
        if (!id_ || document_.isStored() || !document_.hasSession()) return;
        id_.reset();
        row_.reset();
        emit changed();
    });
}

void StoredSession::open(SessionId session) {
    if (!library_.isOpen()) return;
    const auto row = library_.contents()->session(session);
    if (!row) return;
    id_ = session;
    row_ = row;
    unscored_.clear();
    emit changed();
    load();
}

void StoredSession::close() {
    if (!id_) return;
    keepMarksOf({});
    id_.reset();
    row_.reset();
    loadedFrom_.reset();
    files_.clear();
    unscored_.clear();
    if (document_.isStored()) document_.showStored({});
    emit changed();
}

Result<StoredSession::Loaded> StoredSession::loadAndAnalyse(const std::string& path,
                                                            const LibraryContents::Session& row, Files known,
                                                            const analysis::Settings& settings,
                                                            const RunControl& run) {
    const auto* reference = row->reference();
    if (!reference) return nothingToCompare("no reference recorded anything in this session");
    auto reader = Library::open(path, {.write = false});
    if (!reader) return reader.fault();
    Loaded loaded{row, {}, {}, {}};
    const auto review = reader->review(row->id);
    if (!review) return review.fault();
    const auto fileOf = [&](const WearingRow& wearing) -> Result<SharedFile> {
        for (const auto& [id, file] : known)
            if (id == wearing.id) return file;
        auto read = &wearing == reference ? reader->loadReference(*row) : reader->loadWearing(wearing);
        if (!read) return read.fault();
        return named(std::move(*read), wearing);
    };
    for (const auto& wearing : row->wearings) {
        const bool isFurtherReference = wearing.role == Role::Reference && &wearing != reference;
        if (wearing.recordings.empty() || isFurtherReference) continue;
        if (run.stopRequested()) return cancelled();
        auto file = fileOf(wearing);
        if (!file) return file.fault();
        loaded.files.emplace_back(wearing.id, *file);
        auto& plan = loaded.snapshot.plan;
        if (&wearing == reference) {
            plan.reference = *file;
            plan.referenceWearing = wearing.id;
        } else if (wearing.role == Role::Context) {
            plan.contexts.push_back(*file);
        } else {
            plan.tests.push_back({*file, requestOf(wearing.clock), wearing.id});
            loaded.tests.push_back(wearing.id);
        }
    }
    if (loaded.snapshot.plan.tests.empty())
        return nothingToCompare("no test device recorded anything in this session");
    loaded.snapshot.plan.decisions = Reviewing::inSight(*review, loaded.snapshot.plan);
    loaded.snapshot.plan.settings = settings;
    auto analysis = analysePlan(loaded.snapshot.plan, run);
    if (!analysis) return analysis.fault();
    loaded.snapshot.analysis = std::make_shared<const analysis::SessionAnalysis>(std::move(*analysis));
    return loaded;
}

void StoredSession::load() {
    // Recordings at hand are not read again where only a clock or a role changed.
    Files known;
    if (loadedFrom_ && loadedFrom_->id == row_->id && countsAlike(*loadedFrom_, *row_))
        for (const auto& [id, file] : files_) {
            const auto before = std::ranges::find(loadedFrom_->wearings, id, &WearingRow::id);
            const auto now = std::ranges::find(row_->wearings, id, &WearingRow::id);
            const auto isReference = [id](const SessionRow& row) {
                return row.reference() && row.reference()->id == id;
            };
            if (before != loadedFrom_->wearings.end() && now != row_->wearings.end() &&
                drawsAlike(*before, *now) &&
                (!row_->counted || isReference(*loadedFrom_) == isReference(*row_)))
                known.emplace_back(id, file);
        }
    loadedUnder_ = thresholds();
    document_.runner().run(
        tr("Opening %1 …").arg(QString::fromStdString(row_->name)),
        [path = library_.path().toStdString(), row = row_, known,
         settings = analysis::settingsWith(loadedUnder_)](const RunControl& run) {
            return loadAndAnalyse(path, row, known, settings, run);
        },
        [this](Result<Loaded> loaded) { take(std::move(loaded)); });
}

void StoredSession::take(Result<Loaded> loaded) {
    if (!id_) return;
    if (!loaded) {
        unscored_ = QString::fromStdString(sentence(loaded.fault()));
        files_.clear();
        loadedFrom_.reset();
        document_.showStored({});
        emit changed();
        return;
    }
    unscored_.clear();
    files_ = std::move(loaded->files);
    tests_ = std::move(loaded->tests);
    loadedFrom_ = loaded->from;
    const auto reference = loaded->snapshot.plan.reference->sha256;
    document_.showStored(loaded->snapshot);
    keepMarksOf(reference);
    followReview();
    emit changed();
}

void StoredSession::followReview() {
    if (!document_.isStored()) return;
    auto review = library_.review(*id_);
    if (!review) return library_.tellFailed(tr("reading of the decisions"), review.fault());
    document_.reviewing().setStored(
        std::move(*review), [this, id = *id_](const QString& what, const SessionReview& next) {
            return library_.edit(what, {RowOf<SessionId, SessionReview>{id, next}});
        });
}

std::map<std::string, double> StoredSession::thresholds() const {
    const auto* project = library_.isOpen() ? library_.contents()->project(project_) : nullptr;
    return project ? project->thresholds : std::map<std::string, double>{};
}

void StoredSession::setProject(ProjectId project) {
    if (project == project_) return;
    project_ = project;
    if (id_ && row_ && thresholds() != loadedUnder_) load();
}

void StoredSession::keepMarksOf(const std::string& reference) {
    auto& annotations = document_.annotations();
    if (!markedReference_.empty() && markedReference_ != reference)
        annotations.keepWith(markedReference_, nullptr);
    markedReference_ = reference;
    if (!reference.empty()) annotations.keepWith(reference, std::make_shared<LibraryMarks>(library_, *id_));
}

void StoredSession::follow(const LibraryChange& change) {
    if (!id_ || !library_.isOpen()) return;
    const auto now = library_.contents()->session(*id_);
    if (!now) {
        close();  // deleted
        return;
    }
    const auto before = std::exchange(row_, now);
    if ((before != now && !comparesAlike(*before, *now)) || thresholds() != loadedUnder_)
        load();
    else if (change.reviews.contains(*id_))
        followReview();
    emit changed();
}

void StoredSession::storeClock(std::size_t test, const analysis::ClockRequest& clock,
                               analysis::OffsetReason reason) {
    if (!id_ || test >= tests_.size()) return;
    const auto wearing = std::ranges::find(row_->wearings, tests_[test], &WearingRow::id);
    if (wearing == row_->wearings.end()) return;
    WearingParticulars is{wearing->role,   wearing->device,        wearing->facts, wearing->outcome,
                          wearing->reason, clockOf(clock, reason), false,          *id_};
    const QString device = QString::fromStdString(wearing->deviceLabel);
    const QString what = is.clock.method == ClockMethod::SharedSource  ? tr("shared clock of %1")
                         : is.clock.method == ClockMethod::Auto        ? tr("automatic alignment of %1")
                         : is.clock.method == ClockMethod::None        ? tr("no alignment of %1")
                         : reason == analysis::OffsetReason::SyncEvent ? tr("sync event of %1")
                                                                       : tr("typed offset of %1");
    library_.edit(what.arg(device), {RowOf<WearingId, WearingParticulars>{wearing->id, is}});
}

void StoredSession::storeReference(const SharedFile& file) {
    const auto found = std::ranges::find(files_, file, &Files::value_type::second);
    const auto* reference = row_ ? row_->reference() : nullptr;
    if (!id_ || found == files_.end() || !reference || reference->id == found->first) return;
    const auto next = std::ranges::find(row_->wearings, found->first, &WearingRow::id);
    const auto as = [this](const WearingRow& wearing, Role role) -> RowValue {
        // Offsets were measured against the old reference.
        return RowOf<WearingId, WearingParticulars>{
            wearing.id,
            {role, wearing.device, wearing.facts, wearing.outcome, wearing.reason, {}, false, *id_}};
    };
    library_.edit(tr("swap of reference and test"), {as(*reference, Role::Test), as(*next, Role::Reference)});
}

}  // namespace beatwitness::app
