#include "app/document/project_answer.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace beatwitness::app {

using namespace library;

namespace {

constexpr int debounce_ms = 15;

std::optional<Fault> openReader(ProjectAnswer::Work& work, const std::string& path) {
    if (work.reader) return std::nullopt;
    auto opened = Library::open(path, {.write = false});
    if (!opened) return opened.fault();
    work.reader = std::make_shared<Library>(std::move(*opened));
    return std::nullopt;
}

/// Reads the project where that has not been done yet; the fault where it cannot.
std::optional<Fault> readEvidence(ProjectAnswer::Work& work, const std::string& path, const RunControl& run) {
    auto& own = work.ask.excludeReferenceFaults ? work.excluding : work.keeping;
    if (own) return std::nullopt;
    if (auto fault = openReader(work, path)) return fault;
    evaluation::Question question;
    question.project = work.ask.project;
    question.excludeReferenceFaults = work.ask.excludeReferenceFaults;
    auto found = evaluation::projectEvidence(*work.reader, question, run.part(0, 0.8));
    if (!found) return found.fault();
    work.fresh = std::exchange(found->fresh, {});
    own = std::make_shared<const evaluation::ProjectEvidence>(std::move(*found));
    work.choices.reset();
    return std::nullopt;
}

}  // namespace

ProjectAnswer::ProjectAnswer(LibraryDocument& library, QObject* parent) : QObject(parent), library_(library) {
    soon_.setSingleShot(true);
    soon_.setInterval(debounce_ms);
    connect(&soon_, &QTimer::timeout, this, &ProjectAnswer::goOn);
    for (auto signal : {&LibraryDocument::opened, &LibraryDocument::closed})
        connect(&library_, signal, this, &ProjectAnswer::forget);
    connect(&library_, &LibraryDocument::changed, this, &ProjectAnswer::follow);
    connect(&library_, &LibraryDocument::storingChanged, this, [this] { soon_.start(); });
    connect(&runner_, &widgets::TaskRunner::cancelled, this, [this] {
        stopped_ = true;  // by hand: not begun again until something is asked
        reader_.reset();
        emit changed();
    });
}

void ProjectAnswer::setShown(bool shown) {
    shown_ = shown;
    if (shown) soon_.start();
}

void ProjectAnswer::setProject(std::optional<ProjectId> project) {
    if (project == project_) return;
    project_ = project;
    ask_.scope = {};
    view_.reset();
    distrust();
}

void ProjectAnswer::setLoose(Evidence evidence) {
    if (!loose_ && !evidence) return;
    loose_ = std::move(evidence);
    choices_.reset();
    fault_.reset();
    isCurrent_ = stopped_ = false;
    soon_.start();
}

void ProjectAnswer::setAsk(report::AgreementAsk ask) {
    ask.project = ask_.project;
    ask.devices = ask_.devices;
    ask.colours = ask_.colours;
    if (ask == ask_) return;
    ask_ = std::move(ask);
    fault_.reset();
    isCurrent_ = stopped_ = false;
    soon_.start();
}

bool ProjectAnswer::hasSource() const {
    return loose_ || (project_ && library_.isOpen());
}

bool ProjectAnswer::isBusy() const {
    return shown_ && hasSource() && !fault_ && !stopped_ && !isCurrent_;
}

void ProjectAnswer::follow(const LibraryChange& change) {
    // Plans are in no number.
    if (!change.everything && change.sessions.empty() && change.wearers.empty() && change.devices.empty() &&
        change.activities.empty() && change.projects.empty())
        return;
    distrust();
}

void ProjectAnswer::forget() {
    soon_.stop();
    runner_.cancel();
    reader_.reset();
    project_.reset();
    ask_ = {};
    view_.reset();
    distrust();
}

void ProjectAnswer::distrust() {
    ++generation_;
    excluding_.reset();
    keeping_.reset();
    choices_.reset();
    fault_.reset();
    isCurrent_ = stopped_ = false;
    soon_.start();
    emit changed();
}

ProjectAnswer::Work ProjectAnswer::make(Work work, const std::string& path, const RunControl& run) {
    work.fault = readEvidence(work, path, run);
    if (work.fault) return work;
    const auto& evidence = *(work.ask.excludeReferenceFaults ? work.excluding : work.keeping);
    if (!work.choices)
        work.choices = std::make_shared<const report::AgreementChoices>(report::choicesIn(evidence.evidence));
    if (run.stopRequested()) {
        work.fault = cancelled();
        return work;
    }
    work.view = std::make_shared<const report::AgreementView>(report::agreementView(
        evidence.evidence, *work.choices, work.ask, work.criteria, evidence.failedAttempts));
    run.progress(1.0);
    return work;
}

/// Devices in the order and colours of the matrix.
void ProjectAnswer::nameDevices() {
    ask_.devices.clear();
    ask_.colours.clear();
    if (loose_) {
        for (const auto& one : loose_->evidence)
            ask_.devices.push_back(one.device);
        return;
    }
    const auto& contents = *library_.contents();
    ask_.project = contents.project(*project_)->label;
    int place = 0;
    for (const auto id : contents.columnsOf(*project_)) {
        const auto* device = contents.device(id);
        ask_.devices.push_back(device ? device->label : std::string{});
        ask_.colours.push_back(device && device->colour ? *device->colour : place);
        ++place;
    }
}

void ProjectAnswer::goOn() {
    if (!isBusy() || runner_.busy() || library_.isStoring()) return;
    if (!loose_ && !library_.contents()->project(*project_)) return;
    nameDevices();
    Work work;
    work.reader = reader_;
    work.excluding = loose_ ? loose_ : excluding_;
    work.keeping = loose_ ? loose_ : keeping_;
    work.choices = choices_;
    work.ask = ask_;
    if (!loose_) work.criteria = library_.contents()->criteriaOf(*project_);
    runner_.run(
        tr("Working out the agreement …"),
        [work, path = library_.path().toStdString()](const RunControl& run) { return make(work, path, run); },
        [this, generation = generation_](Work done) { take(std::move(done), generation); });
}

void ProjectAnswer::take(Work work, int generation) {
    reader_ = std::move(work.reader);
    library_.keepOutcomes(work.fresh);
    const bool wasLoose = loose_ && work.excluding == loose_;
    if (generation == generation_ && wasLoose == (loose_ != nullptr)) {
        if (!loose_) {
            excluding_ = std::move(work.excluding);
            keeping_ = std::move(work.keeping);
        }
        choices_ = std::move(work.choices);
        if (work.ask == ask_) {
            if (work.fault)
                view_.reset();
            else
                view_ = std::move(work.view);
            fault_ = std::move(work.fault);
            isCurrent_ = !fault_;
        }
        emit changed();
    }
    soon_.start();
}

}  // namespace beatwitness::app
