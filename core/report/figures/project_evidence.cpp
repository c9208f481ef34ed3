#include "core/report/figures/project_evidence.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <iterator>
#include <set>

#include "core/evaluation/compared_side.h"
#include "core/report/cautions.h"
#include "core/report/figures/figure_words.h"

namespace beatwitness::report {
namespace {

using evaluation::Clock;
using evaluation::SessionEvidence;

std::vector<std::string> distinct(const std::vector<SessionEvidence>& evidence,
                                  std::string SessionEvidence::*member) {
    std::set<std::string> found;
    for (const auto& item : evidence)
        found.insert(item.*member);
    return {found.begin(), found.end()};
}

std::string wearerWords(const std::vector<SessionEvidence>& evidence) {
    const auto wearers = distinct(evidence, &SessionEvidence::wearer).size();
    return wearers == 1 ? "one wearer" : fmt::format("{} wearers", wearers);
}

std::size_t sessionsIn(const std::vector<SessionEvidence>& evidence) {
    std::set<std::int64_t> sessions;
    for (const auto& item : evidence)
        sessions.insert(item.session);
    return sessions.size();
}

}  // namespace

int FigureEvidence::colourOf(const std::string& device) const {
    const auto place = std::ranges::find(devices, device) - devices.begin();
    const auto at = static_cast<std::size_t>(place);
    return at < colours.size() ? colours[at] : static_cast<int>(place);
}

namespace {

/// Versions and years that are asked for, in the order asked; empty where devices alone are.
Result<std::vector<evaluation::ComparedSide>> askedSides(const FigureRequest& request,
                                                         const std::vector<SessionEvidence>& evidence) {
    std::vector<evaluation::ComparedSide> sides;
    bool parts = false;
    for (const auto& name : request.devices) {
        auto side = evaluation::sideOf(name, evidence);
        if (!side) continue;
        parts = parts || side->device != name;
        sides.push_back(std::move(*side));
    }
    if (!parts) return std::vector<evaluation::ComparedSide>{};
    if (sides.size() < request.devices.size())
        return Fault{FaultCode::NotInLibrary,
                     "the project \"" + request.project + "\" recorded nothing under one of " +
                         listed(request.devices),
                     {},
                     {},
                     {}};
    return sides;
}

evaluation::Question questionOf(const FigureRequest& request) {
    evaluation::Question question;
    question.project = request.project;
    for (const auto& name : request.devices)
        std::ranges::move(evaluation::devicesNamedBy(name), std::back_inserter(question.devices));
    question.activities = request.activities;
    question.excludeReferenceFaults = request.excludeReferenceFaults;
    question.epoch_s = request.epoch_s;
    return question;
}

}  // namespace

Result<FigureEvidence> figureEvidenceOf(const FigureRequest& request, std::vector<SessionEvidence> evidence,
                                        std::vector<agreement::Criterion> criteria,
                                        std::size_t failedAttempts) {
    FigureEvidence found;
    found.question = questionOf(request);
    found.question.criteria = std::move(criteria);
    found.failedAttempts = failedAttempts;
    std::ranges::copy_if(evidence, std::back_inserter(found.references), &SessionEvidence::secondReference);
    std::erase_if(evidence, [](const SessionEvidence& item) { return item.secondReference; });
    const auto sides = askedSides(request, evidence);
    if (!sides) return sides.fault();
    found.evidence = sides->empty() ? std::move(evidence) : evaluation::evidenceBySide(evidence, *sides);
    if (found.evidence.empty())
        return Fault{FaultCode::NothingToCompare,
                     "the project \"" + request.project +
                         "\" holds no session with a reference and a test device as asked, so there is "
                         "nothing to show",
                     {},
                     {},
                     {}};
    found.devices = distinct(found.evidence, &SessionEvidence::device);
    if (!sides->empty()) {
        found.devices.clear();
        for (const auto& side : *sides)
            found.devices.push_back(sideName(side));
    }
    found.activities = distinct(found.evidence, &SessionEvidence::activity);
    return found;
}

Result<FigureEvidence> figureEvidence(library::Library& library, const FigureRequest& request,
                                      const RunControl& run) {
    const auto id = library.findProject(request.project);
    if (!id) return id.fault();
    const auto stored = library.criteria(*id);
    if (!stored) return stored.fault();
    std::vector<agreement::Criterion> criteria;
    for (const auto& one : *stored)
        if (!one.withdrawnAt) criteria.push_back(one.criterion);
    auto project = evaluation::projectEvidence(library, questionOf(request), run);
    if (!project) return project.fault();
    auto found =
        figureEvidenceOf(request, std::move(project->evidence), std::move(criteria), project->failedAttempts);
    if (!found) return found.fault();
    found->fresh = std::move(project->fresh);
    return found;
}

std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (i > 0) text += i + 1 == names.size() ? " and " : ", ";
        text += names[i];
    }
    return text;
}

std::string sentenceCase(std::string text) {
    if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
    return text;
}

FigureWords pooledWords(const FigureEvidence& evidence, const FigureRequest& request,
                        const std::string& title, const std::string& caption) {
    double pairs = 0.0;
    std::set<std::int64_t> refused;
    for (const auto& item : evidence.evidence) {
        pairs += item.under(request.clock).summary.sums.n;
        if (item.refused) refused.insert(item.session);
    }
    const auto sessions = static_cast<double>(sessionsIn(evidence.evidence));
    FigureWords words;
    words.title = title;
    words.subtitle = fmt::format("{} \u00b7 {} of {} \u00b7 {} paired seconds",
                                 request.clock == Clock::Aligned ? "aligned" : "as recorded",
                                 counted(sessions, "session", "sessions"), wearerWords(evidence.evidence),
                                 countWords(pairs));
    if (!request.activities.empty())
        words.subtitle = listed(request.activities) + " \u00b7 " + words.subtitle;
    words.caption = fmt::format(
        "{} {} of {}, {} paired seconds; epoch {} s; seconds in which the reference itself failed are {}.",
        caption, counted(sessions, "session", "sessions"), wearerWords(evidence.evidence), countWords(pairs),
        request.epoch_s, request.excludeReferenceFaults ? "left out" : "kept");
    if (request.clock == Clock::Aligned && !refused.empty())
        words.caption += fmt::format(" {} could not be aligned and {} as recorded.",
                                     counted(static_cast<double>(refused.size()), "session", "sessions"),
                                     refused.size() == 1 ? "counts" : "count");
    if (evidence.failedAttempts > 0)
        words.caption +=
            fmt::format(" {} recorded nothing.",
                        counted(static_cast<double>(evidence.failedAttempts), "attempt", "attempts"));
    words.footnote = std::string(projectCautionLine());
    return words;
}

std::vector<evaluation::AgreementGroup> groupsBy(const FigureEvidence& evidence, const FigureRequest& request,
                                                 std::vector<evaluation::GroupKey> keys) {
    auto question = evidence.question;
    question.by = std::move(keys);
    question.clock = request.clock;
    return evaluation::pooledGroups(evidence.evidence, question);
}

std::vector<evaluation::AgreementGroup> meansBy(FigureEvidence evidence, const FigureRequest& request,
                                                std::vector<evaluation::GroupKey> keys) {
    evidence.question.meansOnly = true;
    return groupsBy(evidence, request, std::move(keys));
}

std::string labelOf(const evaluation::AgreementGroup& group, evaluation::GroupKey key) {
    for (const auto& [which, label] : group.by)
        if (which == key) return label;
    return {};
}

std::optional<std::array<double, 2>> intervalOf(const agreement::PooledFigure& figure) {
    if (!figure.ci95) return std::nullopt;
    return std::array{figure.ci95->lower, figure.ci95->upper};
}

}  // namespace beatwitness::report
