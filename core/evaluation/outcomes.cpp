#include "core/evaluation/outcomes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <span>

#include "core/analysis/settings_table.h"
#include "core/foundation/version.h"
#include "core/recording/digest.h"
#include "core/trace/trace.h"

namespace beatwitness::evaluation {
namespace {

using library::Library;
using library::Role;
using library::SessionRow;
using library::StoredOutcome;
using library::WearingRow;
using recording::RecordingFile;

/// All that an outcome depends on besides its session.
std::string commonStamp(bool excludeReferenceFaults, const analysis::Settings& settings) {
    std::string text =
        fmt::format("{} {} {}\n", programVersion(), analysis::analysisVersion, excludeReferenceFaults);
    for (const auto& setting : analysis::settingsTable(settings))
        text += fmt::format("{}={}\n", setting.key, setting.value);
    return text;
}

std::string digestOf(const std::string& text) {
    return recording::sha256(std::as_bytes(std::span{text.data(), text.size()}));
}

bool hasHeartRate(const RecordingFile& file) {
    return !trace::traceOf(file.recording).empty();
}

/// What is read of a session for its analysis.
struct Loaded {
    RecordingFile reference;
    std::vector<RecordingFile> contexts;
    std::vector<std::pair<const WearingRow*, RecordingFile>> tests, references;  ///< with a heart rate
    std::vector<const WearingRow*> silent;                                       ///< scored, without one
    library::SessionReview review;
};

Result<Loaded> loaded(Library& library, const SessionRow& row, const WearingRow& scoring) {
    auto reference = library.loadReference(row);
    if (!reference) return reference.fault();
    auto review = library.review(row.id);
    if (!review) return review.fault();
    Loaded all{std::move(*reference), {}, {}, {}, {}, std::move(*review)};
    for (const auto& wearing : row.wearings) {
        if (&wearing == &scoring || wearing.recordings.empty()) continue;
        auto file = library.loadWearing(wearing);
        if (!file) return file.fault();
        if (wearing.role == Role::Context)
            all.contexts.push_back(std::move(*file));
        else if (!hasHeartRate(*file))
            all.silent.push_back(&wearing);
        else
            (wearing.role == Role::Test ? all.tests : all.references)
                .emplace_back(&wearing, std::move(*file));
    }
    return all;
}

/// Of the last two decidings of one test, where there were two.
std::optional<double> kappaOf(const analysis::SessionAnalysis& session, std::size_t test,
                              const library::SessionReview& review, library::WearingId wearing) {
    const auto rounds = flags::comparedRounds(review.passes);
    if (!rounds) return std::nullopt;
    const auto all = review.of(wearing, flags::FlaggedTrace::Test);
    return analysis::reviewerKappa(session, test, flags::ofRound(all, rounds->first),
                                   flags::ofRound(all, rounds->second));
}

/// Outcomes of `files` against the reference, analysed at once.
Result<Done> analyse(const Loaded& all, library::WearingId reference,
                     std::vector<std::pair<const WearingRow*, RecordingFile>> files, const KeptOutcomes& kept,
                     const RunControl& run,
                     std::vector<std::pair<const WearingRow*, analysis::WearingOutcome>>& found) {
    if (files.empty()) return Done{};
    std::vector<RecordingFile> tests;
    std::vector<library::WearingId> wearings;
    analysis::Request request;
    request.excludeReferenceFaults = kept.excludesReferenceFaults();
    for (auto& [wearing, file] : files) {
        tests.push_back(std::move(file));
        wearings.push_back(wearing->id);
        request.clocks.push_back(clockRequestOf(wearing->clock));
    }
    request.decisions = decisionsOf(all.review, reference, wearings);
    const auto session = analysis::analyseSession(all.reference, std::move(tests), all.contexts, request,
                                                  kept.settings(), run);
    if (!session) return session.fault();
    for (std::size_t i = 0; i < files.size(); ++i) {
        auto outcome = analysis::outcomeOf(*session, session->tests[i]);
        outcome.reviewerKappa = kappaOf(*session, i, all.review, wearings[i]);
        found.emplace_back(files[i].first, std::move(outcome));
    }
    return Done{};
}

}  // namespace

const WearingRow* scoringReference(const SessionRow& row) {
    return row.reference();
}

analysis::ClockRequest clockRequestOf(const library::WearingClock& clock) {
    using library::ClockMethod;
    switch (clock.method) {
        case ClockMethod::Auto:
            return {};
        case ClockMethod::Offset:
            return {alignment::Method::Offset, clock.offset, clock.drift};
        case ClockMethod::None:
            return {alignment::Method::None, {}, {}};
        case ClockMethod::SharedSource:
            return {alignment::Method::Offset, {}, {}};
    }
    assert(false);
    return {};
}

std::vector<const WearingRow*> scoredWearings(const SessionRow& row) {
    std::vector<const WearingRow*> scored;
    const auto* reference = scoringReference(row);
    if (reference == nullptr) return scored;
    for (const auto& wearing : row.wearings)
        if (&wearing != reference && wearing.role != Role::Context && !wearing.recordings.empty())
            scored.push_back(&wearing);
    return scored;
}

Result<analysis::Settings> projectSettings(Library& library, library::ProjectId project) {
    const auto is = library.particulars(project);
    if (!is) return is.fault();
    return analysis::settingsWith(is->thresholds);
}

analysis::SessionDecisions decisionsOf(const library::SessionReview& review, library::WearingId reference,
                                       std::span<const library::WearingId> tests) {
    analysis::SessionDecisions decisions;
    decisions.reference = flags::inForce(review.of(reference, flags::FlaggedTrace::Reference), review.passes);
    for (const auto test : tests)
        decisions.tests.push_back(flags::inForce(review.of(test, flags::FlaggedTrace::Test), review.passes));
    return decisions;
}

Result<KeptOutcomes> KeptOutcomes::of(Library& library, library::ProjectId project,
                                      bool excludeReferenceFaults) {
    const auto inputs = library.inputsOf(project);
    if (!inputs) return inputs.fault();
    const auto settings = projectSettings(library, project);
    if (!settings) return settings.fault();
    auto stored = library.outcomesOf(project, excludeReferenceFaults, analysis::changedText(*settings));
    if (!stored) return stored.fault();
    KeptOutcomes kept;
    kept.exclude_ = excludeReferenceFaults;
    kept.settings_ = *settings;
    const auto common = commonStamp(excludeReferenceFaults, *settings);
    for (const auto& session : *inputs)
        kept.sessions_[session.session] = {digestOf(common + session.text + session.decisions),
                                           session.added};
    for (auto& outcome : *stored)
        kept.outcomes_.emplace(outcome.wearing, std::move(outcome));
    return kept;
}

const analysis::WearingOutcome* KeptOutcomes::find(library::SessionId session,
                                                   library::WearingId wearing) const {
    const auto found = outcomes_.find(wearing);
    return found == outcomes_.end() || found->second.stamp != stampFor(session) ? nullptr
                                                                                : &found->second.outcome;
}

bool KeptOutcomes::holds(const SessionRow& row) const {
    const auto scored = scoredWearings(row);
    return std::ranges::all_of(scored, [&](const auto* w) { return find(row.id, w->id) != nullptr; });
}

std::string KeptOutcomes::stampFor(library::SessionId session) const {
    const auto found = sessions_.find(session);
    return found == sessions_.end() ? std::string{} : found->second.stamp;
}

std::optional<Micros> KeptOutcomes::addedAt(library::SessionId session) const {
    const auto found = sessions_.find(session);
    return found == sessions_.end() ? std::nullopt : std::optional{found->second.added};
}

void KeptOutcomes::add(const StoredOutcome& stored) {
    outcomes_.insert_or_assign(stored.wearing, stored);
}

Result<std::vector<StoredOutcome>> analysedOutcomes(Library& library, const SessionRow& row,
                                                    const KeptOutcomes& kept, const RunControl& run) {
    const auto* scoring = scoringReference(row);
    if (scoring == nullptr) return std::vector<StoredOutcome>{};
    auto all = loaded(library, row, *scoring);
    if (!all) return all.fault();
    std::vector<std::pair<const WearingRow*, analysis::WearingOutcome>> found;
    if (!hasHeartRate(all->reference)) {
        for (const auto* wearing : scoredWearings(row))
            found.emplace_back(wearing, analysis::WearingOutcome{});
    } else {
        for (const auto* wearing : all->silent)
            found.emplace_back(wearing, analysis::WearingOutcome{});
        // A second reference is no test device: it does not judge the first together with one.
        for (auto* files : {&all->tests, &all->references})
            if (auto done = analyse(*all, scoring->id, std::move(*files), kept, run, found); !done)
                return done.fault();
    }
    std::vector<StoredOutcome> outcomes;
    for (auto& [wearing, outcome] : found)
        outcomes.push_back({wearing->id, kept.excludesReferenceFaults(), kept.stampFor(row.id),
                            std::move(outcome), analysis::changedText(kept.settings())});
    return outcomes;
}

Result<Done> fillOutcomes(Library& library, library::ProjectId project, bool excludeReferenceFaults,
                          const OutcomeSink& sink, const RunControl& run) {
    const auto rows = library.sessionsOf(project);
    if (!rows) return rows.fault();
    const auto kept = KeptOutcomes::of(library, project, excludeReferenceFaults);
    if (!kept) return kept.fault();
    for (std::size_t i = 0; i < rows->size(); ++i) {
        const auto& row = (*rows)[i];
        if (run.stopRequested()) return cancelled();
        if (!kept->holds(row)) {
            const auto outcomes = analysedOutcomes(library, row, *kept, run.part(0, 0));
            if (!outcomes) return outcomes.fault();
            sink(*outcomes);
        }
        run.progress(static_cast<double>(i + 1) / static_cast<double>(rows->size()));
    }
    return Done{};
}

Result<std::vector<Headline>> cachedHeadlines(Library& library, library::ProjectId project,
                                              bool excludeReferenceFaults) {
    const auto rows = library.sessionsOf(project);
    if (!rows) return rows.fault();
    const auto kept = KeptOutcomes::of(library, project, excludeReferenceFaults);
    if (!kept) return kept.fault();
    std::vector<Headline> headlines;
    for (const auto& row : *rows)
        for (const auto* wearing : scoredWearings(row))
            if (const auto* outcome = kept->find(row.id, wearing->id))
                headlines.push_back({row.id, wearing->id, wearing->role == Role::Reference,
                                     outcome->hasHeartRate, outcome->refused, outcome->refusedBecause,
                                     outcome->aligned.sums, outcome->asRecorded.sums});
    return headlines;
}

}  // namespace beatwitness::evaluation
