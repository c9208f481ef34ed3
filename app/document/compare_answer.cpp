#include "app/document/compare_answer.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace beatwitness::app {

using namespace library;

namespace {

constexpr int debounce_ms = 60;

/// Reads what is not there yet; the fault where it cannot.
std::optional<Fault> readEvidence(Library& library, const report::ComparedAsk& ask, bool exclude,
                                  std::shared_ptr<const evaluation::ProjectEvidence>& evidence,
                                  std::vector<StoredOutcome>& fresh, const RunControl& run) {
    if (evidence) return std::nullopt;
    evaluation::Question question;
    question.project = ask.project;
    question.excludeReferenceFaults = exclude;
    auto found = evaluation::projectEvidence(library, question, run);
    if (!found) return found.fault();
    std::ranges::move(found->fresh, std::back_inserter(fresh));
    evidence = std::make_shared<const evaluation::ProjectEvidence>(std::move(*found));
    return std::nullopt;
}

}  // namespace

CompareAnswer::CompareAnswer(LibraryDocument& library, QObject* parent) : QObject(parent), library_(library) {
    soon_.setSingleShot(true);
    soon_.setInterval(debounce_ms);
    connect(&soon_, &QTimer::timeout, this, &CompareAnswer::goOn);
    connect(&library_, &LibraryDocument::opened, this, &CompareAnswer::forget);
    connect(&library_, &LibraryDocument::closed, this, &CompareAnswer::forget);
    connect(&library_, &LibraryDocument::changed, this, &CompareAnswer::follow);
    connect(&library_, &LibraryDocument::storingChanged, this, [this] { soon_.start(); });
    connect(&runner_, &widgets::TaskRunner::cancelled, this, [this] {
        stopped_ = true;  // by hand: not begun again until something is asked
        reader_.reset();
        emit changed();
    });
}

void CompareAnswer::setShown(bool shown) {
    shown_ = shown;
    if (shown) soon_.start();
}

void CompareAnswer::setProject(std::optional<ProjectId> project) {
    if (project == project_) return;
    project_ = project;
    ask_.a.clear();
    ask_.b.clear();
    view_.reset();
    distrust();
}

void CompareAnswer::setAsk(report::ComparedAsk ask) {
    ask.project = ask_.project;
    if (ask == ask_) return;
    ask_ = std::move(ask);
    viewIsCurrent_ = standingIsCurrent_ = stopped_ = false;
    standing_.clear();
    soon_.start();
    emit changed();
}

void CompareAnswer::setWantsStanding(bool wants) {
    wantsStanding_ = wants;
    if (wants) soon_.start();
}

bool CompareAnswer::isBusy() const {
    return shown_ && project_ && library_.isOpen() && !fault_ && !stopped_ &&
           (!viewIsCurrent_ || (wantsStanding_ && !standingIsCurrent_));
}

void CompareAnswer::follow(const LibraryChange& change) {
    // Plans and figures are in no number.
    if (!change.everything && change.sessions.empty() && change.wearers.empty() && change.devices.empty() &&
        change.activities.empty() && change.projects.empty())
        return;
    distrust();
}

void CompareAnswer::forget() {
    soon_.stop();
    runner_.cancel();
    reader_.reset();
    project_.reset();
    ask_ = {};
    view_.reset();
    distrust();
}

void CompareAnswer::distrust() {
    ++generation_;
    excluding_.reset();
    keeping_.reset();
    standing_.clear();
    fault_.reset();
    viewIsCurrent_ = standingIsCurrent_ = stopped_ = false;
    soon_.start();
    emit changed();
}

CompareAnswer::Work CompareAnswer::make(Work work, const std::string& path, const RunControl& run) {
    if (!work.reader) {
        auto opened = Library::open(path, {.write = false});
        if (!opened) {
            work.fault = opened.fault();
            return work;
        }
        work.reader = std::make_shared<Library>(std::move(*opened));
    }
    auto& own = work.ask.excludeReferenceFaults ? work.excluding : work.keeping;
    auto& other = work.ask.excludeReferenceFaults ? work.keeping : work.excluding;
    const bool exclude = work.ask.excludeReferenceFaults;
    work.fault = readEvidence(*work.reader, work.ask, exclude, own, work.fresh, run.part(0, 0.5));
    if (!work.fault && work.standing)
        work.fault = readEvidence(*work.reader, work.ask, !exclude, other, work.fresh, run.part(0.5, 0.9));
    if (work.fault) return work;
    if (work.standing) {
        work.scenes = report::comparedStanding(own->evidence, other->evidence, work.ask, work.criteria);
        return work;
    }
    auto view = report::comparedView(own->evidence, work.ask, work.criteria, own->failedAttempts);
    if (view)
        work.view = std::make_shared<const report::ComparedView>(std::move(*view));
    else
        work.fault = view.fault();
    return work;
}

void CompareAnswer::goOn() {
    if (!isBusy() || runner_.busy() || library_.isStoring()) return;
    const auto* project = library_.contents()->project(*project_);
    if (!project) return;
    ask_.project = project->label;
    const bool standing = viewIsCurrent_;
    Work work;
    work.reader = reader_;
    work.excluding = excluding_;
    work.keeping = keeping_;
    work.ask = ask_;
    work.criteria = library_.contents()->criteriaOf(*project_);
    work.standing = standing;
    runner_.run(
        standing ? tr("Trying other choices …") : tr("Comparing …"),
        [work, path = library_.path().toStdString()](const RunControl& run) { return make(work, path, run); },
        [this, generation = generation_](Work done) { take(std::move(done), generation); });
}

void CompareAnswer::take(Work work, int generation) {
    reader_ = std::move(work.reader);
    library_.keepOutcomes(work.fresh);
    if (generation == generation_) {
        excluding_ = std::move(work.excluding);
        keeping_ = std::move(work.keeping);
        // Sides that were left open are those that were chosen.
        auto asked = work.ask;
        if (work.view) asked.a = work.view->a, asked.b = work.view->b;
        const bool same = work.ask == ask_;
        if (same && work.fault) {
            fault_ = std::move(work.fault);
            view_.reset();
        } else if (same && work.standing) {
            standing_ = std::move(work.scenes);
            standingIsCurrent_ = true;
        } else if (same) {
            ask_ = std::move(asked);
            view_ = std::move(work.view);
            viewIsCurrent_ = true;
        }
        emit changed();
    }
    soon_.start();
}

}  // namespace beatwitness::app
