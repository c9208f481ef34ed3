#include "app/document/annotations.h"

#include <QUndoCommand>
#include <algorithm>
#include <utility>

#include "app/document/document.h"
#include "core/trace/suggest_phases.h"

namespace beatwitness::app {
namespace {

/// One change of marks: keeps both sides and whose they are.
class ChangeMarks : public QUndoCommand {
public:
    ChangeMarks(Annotations& annotations, std::string key, Marks before, Marks after, const QString& what)
        : QUndoCommand(what),
          annotations_(annotations),
          key_(std::move(key)),
          before_(std::move(before)),
          after_(std::move(after)) {}

    void undo() override { setObsolete(!annotations_.put(key_, before_)); }
    void redo() override { setObsolete(!annotations_.put(key_, after_)); }

private:
    Annotations& annotations_;
    std::string key_;
    Marks before_, after_;
};

std::string referenceOf(const analysis::SessionAnalysis& session) {
    return session.reference.sha256.empty() ? session.reference.file : session.reference.sha256;
}

}  // namespace

Annotations::Annotations(Document& document) : QObject(&document), document_(document) {
    connect(&document_, &Document::analysisChanged, this, &Annotations::readSession);
}

std::string Annotations::keyAtHand() const {
    if (!document_.hasSession()) return {};
    const auto reference = referenceOf(*document_.analysis());
    const auto kept = keptBy_.find(reference);
    return kept == keptBy_.end() ? reference : kept->second;
}

void Annotations::readSession() {
    const std::string key = keyAtHand();
    anchors_.clear();
    if (document_.hasSession()) {
        for (const auto& lap : laps())
            anchors_.insert(anchors_.end(), {lap.span.begin, lap.span.end});
        for (const auto& phase :
             trace::suggestedPhases(document_.analysis()->referenceTrace, document_.analysis()->t0))
            anchors_.push_back(phase.span.begin);
    }
    if (key == key_) return emit changed();  // on another clock, perhaps
    key_ = key;
    selected_.reset();
    proposals_.clear();
    now_ = {};
    if (const auto keeper = keepers_.find(key_); keeper != keepers_.end()) {
        auto marks = keeper->second->load();
        if (marks)
            now_ = std::move(*marks);
        else
            emit refused(QString::fromStdString(sentence(marks.fault())));
    } else if (const auto found = inMemory_.find(key_); found != inMemory_.end()) {
        now_ = found->second;
    }
    emit proposalsChanged();
    emit selectionChanged();
    emit changed();
}

void Annotations::keepWith(const std::string& referenceSha256, std::shared_ptr<MarksKeeper> keeper) {
    if (keeper) {
        keptBy_[referenceSha256] = keeper->key();
        keepers_[keeper->key()] = std::move(keeper);
    } else {
        keptBy_.erase(referenceSha256);
    }
    if (!document_.hasSession() || referenceOf(*document_.analysis()) != referenceSha256) return;
    key_.clear();
    readSession();
}

ReferenceTime Annotations::instantAt(double seconds) const {
    return document_.analysis()->t0 + toMicros({seconds});
}

double Annotations::secondsAt(ReferenceTime time) const {
    return toSeconds(time - document_.analysis()->t0).value;
}

bool Annotations::put(const std::string& key, const Marks& marks) {
    if (const auto keeper = keepers_.find(key); keeper != keepers_.end()) {
        const auto stored = keeper->second->store(marks);
        if (!stored) {
            emit refused(QString::fromStdString(sentence(stored.fault())));
            return false;
        }
    } else {
        inMemory_[key] = marks;
    }
    if (key != key_) return true;
    now_ = marks;
    if (selected_ && *selected_ >= now_.phases.size()) selectPhase(std::nullopt);
    emit changed();
    return true;
}

bool Annotations::change(Marks next, const QString& what) {
    if (!document_.hasSession() || next == now_) return false;
    document_.undoStack().push(new ChangeMarks(*this, key_, now_, next, what));
    return now_ == next;
}

void Annotations::changeElsewhere(std::shared_ptr<MarksKeeper> keeper, Marks before, Marks after,
                                  const QString& what) {
    const std::string key = keeper->key();
    keepers_.try_emplace(key, std::move(keeper));
    document_.undoStack().push(new ChangeMarks(*this, key, std::move(before), std::move(after), what));
}

bool Annotations::changePhases(Result<trace::PhasePlan> plan, const QString& what,
                               std::optional<ReferenceTime> select) {
    if (!document_.hasSession()) return false;
    if (!plan) {
        emit refused(QString::fromStdString(sentence(plan.fault())));
        return false;
    }
    if (!change({std::move(*plan), now_.pins}, what)) return false;
    if (select)
        for (std::size_t i = 0; i < now_.phases.size(); ++i)
            if (now_.phases[i].span.begin == *select) selectPhase(i);
    return true;
}

bool Annotations::addPhase(Span<ReferenceClock> span, trace::PhaseKind kind, const QString& label) {
    trace::Phase phase{span, kind, trace::PhaseOrigin::Hand, 0, label.toStdString()};
    return changePhases(trace::withPhase(now_.phases, std::move(phase)), tr("new phase"), span.begin);
}

void Annotations::setPins(std::vector<trace::Pin> pins, const QString& what) {
    std::ranges::stable_sort(pins, {}, &trace::Pin::at);
    change({now_.phases, std::move(pins)}, what);
}

void Annotations::addPin(ReferenceTime at, const QString& note) {
    auto pins = now_.pins;
    pins.push_back({at, note.toStdString()});
    setPins(std::move(pins), tr("new pin"));
}

void Annotations::selectPhase(std::optional<std::size_t> index) {
    if (index && *index >= now_.phases.size()) index.reset();
    if (index == selected_) return;
    selected_ = index;
    emit selectionChanged();
}

std::vector<trace::Phase> Annotations::laps() const {
    const auto& session = *document_.analysis();
    auto found = trace::lapPhases(session.reference.recording.laps, Micros{0});
    if (!found.empty()) return found;
    // Where the reference has none, those of the test in front, on the clock that is shown.
    const auto& test = document_.test();
    const auto& view = document_.showsAligned() ? *test.aligned : test.asRecorded;
    found = trace::lapPhases(test.file.recording.laps, test.laid);
    for (auto& lap : found) {
        const auto moved = [&](ReferenceTime time) {
            return instantAt(secondsOf(view.correction.toSession(TestTime{time.time_since_epoch()})));
        };
        lap.span = {moved(lap.span.begin), moved(lap.span.end)};
    }
    return found;
}

void Annotations::proposeLaps() {
    if (!document_.hasSession()) return;
    proposals_ = laps();
    if (proposals_.empty()) emit refused(tr("None of the recordings holds laps."));
    emit proposalsChanged();
}

void Annotations::proposeFromReference() {
    if (!document_.hasSession()) return;
    proposals_ = trace::suggestedPhases(document_.analysis()->referenceTrace, document_.analysis()->t0);
    if (proposals_.empty()) emit refused(tr("The reference is too short to suggest phases from."));
    emit proposalsChanged();
}

void Annotations::dropProposals() {
    if (proposals_.empty()) return;
    proposals_.clear();
    emit proposalsChanged();
}

void Annotations::takeProposal(std::size_t index) {
    if (index >= proposals_.size()) return;
    const auto proposal = proposals_[index];
    if (!changePhases(trace::withPhase(now_.phases, proposal), tr("phase taken over"), proposal.span.begin))
        return;
    proposals_.erase(proposals_.begin() + static_cast<std::ptrdiff_t>(index));
    emit proposalsChanged();
}

void Annotations::takeAllProposals() {
    if (proposals_.empty()) return;
    auto plan = now_.phases;
    plan.insert(plan.end(), proposals_.begin(), proposals_.end());
    if (changePhases(trace::levelled(std::move(plan)), tr("phases taken over"))) dropProposals();
}

}  // namespace beatwitness::app
