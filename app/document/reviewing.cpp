#include "app/document/reviewing.h"

#include <QUndoCommand>
#include <utility>

#include "app/document/document.h"
#include "core/library/library_file.h"

namespace beatwitness::app {

using flags::FlaggedTrace;
using library::SessionReview;
using library::WearingId;

namespace {

/// One change of a loose pair's review: keeps both sides and whose they are.
class ChangeReview : public QUndoCommand {
public:
    ChangeReview(Reviewing& reviewing, std::string key, SessionReview before, SessionReview after,
                 const QString& what)
        : QUndoCommand(what),
          reviewing_(reviewing),
          key_(std::move(key)),
          before_(std::move(before)),
          after_(std::move(after)) {}

    void undo() override { reviewing_.put(key_, before_); }
    void redo() override { reviewing_.put(key_, after_); }

private:
    Reviewing& reviewing_;
    std::string key_;
    SessionReview before_, after_;
};

/// A row for a recording that has none: the beginning of its digest.
WearingId idOf(const recording::RecordingFile& file) {
    std::uint64_t number = 0;
    for (const char letter : (file.sha256.empty() ? file.file : file.sha256).substr(0, 15))
        number = number * 31 + static_cast<unsigned char>(letter);
    return WearingId{static_cast<std::int64_t>(number >> 2) + 1};
}

std::string keyOf(const SessionPlan& plan) {
    if (!plan.reference) return {};
    return plan.reference->sha256.empty() ? plan.reference->file : plan.reference->sha256;
}

}  // namespace

Reviewing::Reviewing(Document& document) : QObject(&document), document_(document) {
    connect(&document_, &Document::analysisChanged, this, &Reviewing::readSession);
}

SessionPlan Reviewing::withIds(SessionPlan plan) {
    if (plan.reference && plan.referenceWearing == WearingId{}) plan.referenceWearing = idOf(*plan.reference);
    for (auto& test : plan.tests)
        if (test.wearing == WearingId{}) test.wearing = idOf(*test.file);
    return plan;
}

analysis::SessionDecisions Reviewing::inSight(const SessionReview& review, const SessionPlan& plan) {
    const auto known = withIds(plan);
    analysis::SessionDecisions decisions;
    decisions.reference =
        flags::inSight(review.of(known.referenceWearing, FlaggedTrace::Reference), review.passes);
    for (const auto& test : known.tests)
        decisions.tests.push_back(flags::inSight(review.of(test.wearing, FlaggedTrace::Test), review.passes));
    return decisions;
}

analysis::SessionDecisions Reviewing::decisionsFor(const SessionPlan& plan) const {
    if (store_) return inSight(now_, plan);
    const auto found = inMemory_.find(keyOf(plan));
    return inSight(found == inMemory_.end() ? SessionReview{} : found->second, plan);
}

void Reviewing::readSession() {
    if (document_.isStored()) return;  // told by setStored()
    store_ = nullptr;
    key_ = keyOf(document_.truePlan());
    const auto found = inMemory_.find(key_);
    now_ = found == inMemory_.end() ? SessionReview{} : found->second;
    emit changed();
}

void Reviewing::setStored(SessionReview review, Store store) {
    now_ = std::move(review);
    store_ = std::move(store);
    document_.redecide(inSight(now_, document_.truePlan()));
    emit changed();
}

void Reviewing::setLoose() {
    store_ = nullptr;
    readSession();
}

void Reviewing::put(const std::string& key, const SessionReview& review) {
    inMemory_[key] = review;
    if (store_ || key != key_) return;
    now_ = review;
    document_.redecide(inSight(now_, document_.truePlan()));
    emit changed();
}

void Reviewing::change(SessionReview next, const QString& what) {
    if (!document_.hasSession() || next == now_) return;
    if (store_)
        store_(what, next);
    else
        document_.undoStack().push(new ChangeReview(*this, key_, now_, std::move(next), what));
}

WearingId Reviewing::wearingOf(FlaggedTrace on) const {
    const auto plan = withIds(document_.truePlan());
    return on == FlaggedTrace::Reference ? plan.referenceWearing
                                         : plan.tests[document_.trueIndex(document_.focusTest())].wearing;
}

flags::Deciding Reviewing::how(FlaggedTrace on) const {
    const auto clocks = analysis::clocksOf(*document_.analysis(), document_.focusTest());
    return {document_.isBlind(), flags::currentRound(now_.passes), library::now(),
            on == FlaggedTrace::Reference ? clocks.reference : clocks.test, now_.nextId()};
}

void Reviewing::setDecisions(FlaggedTrace on, std::vector<flags::FlagDecision> decisions,
                             const QString& what) {
    auto next = now_;
    next.set(wearingOf(on), on, std::move(decisions));
    change(std::move(next), what);
}

void Reviewing::decide(const flags::Flag& flag, const flags::FlagChange& change, const QString& what) {
    if (!document_.hasSession()) return;
    setDecisions(flag.on, flags::decided(now_.of(wearingOf(flag.on), flag.on), flag, change, how(flag.on)),
                 what);
}

void Reviewing::undecide(const flags::Flag& flag) {
    if (!document_.hasSession() || flag.decision == 0) return;
    setDecisions(flag.on, flags::withoutDecision(now_.of(wearingOf(flag.on), flag.on), flag.decision),
                 tr("decision taken back"));
}

void Reviewing::add(FlaggedTrace on, flags::FlagKind kind, double begin_s, double end_s) {
    if (!document_.hasSession() || begin_s >= end_s) return;
    setDecisions(on,
                 flags::withAdded(now_.of(wearingOf(on), on), on, kind,
                                  {sessionTime(begin_s), sessionTime(end_s)}, how(on)),
                 tr("new flag"));
}

void Reviewing::drop(const std::vector<flags::FlagDecision>& onTest,
                     const std::vector<flags::FlagDecision>& onReference) {
    auto next = now_;
    const auto without = [&](FlaggedTrace on, const std::vector<flags::FlagDecision>& these) {
        auto left = next.of(wearingOf(on), on);
        for (const auto& one : these)
            left = flags::withoutDecision(std::move(left), one.id);
        next.set(wearingOf(on), on, std::move(left));
    };
    without(FlaggedTrace::Test, onTest);
    without(FlaggedTrace::Reference, onReference);
    change(std::move(next), tr("decisions without a flag dropped"));
}

void Reviewing::beginPass() {
    if (!document_.hasSession() || openPass()) return;
    auto next = now_;
    next.passes.push_back(
        {flags::currentRound(now_.passes) + 1, document_.isBlind(), library::now(), std::nullopt});
    change(std::move(next), tr("another pass"));
}

void Reviewing::finishPass() {
    if (!openPass()) return;
    auto next = now_;
    next.passes.back().finished = library::now();
    change(std::move(next), tr("end of the pass"));
}

std::optional<double> Reviewing::kappa() const {
    const auto rounds = flags::comparedRounds(now_.passes);
    if (!rounds || !document_.hasSession()) return std::nullopt;
    const auto all = now_.of(wearingOf(FlaggedTrace::Test), FlaggedTrace::Test);
    return analysis::reviewerKappa(*document_.analysis(), document_.focusTest(),
                                   flags::ofRound(all, rounds->first), flags::ofRound(all, rounds->second));
}

}  // namespace beatwitness::app
