#include <ostream>

#include "app/verbs/criteria_file.h"
#include "app/verbs/verb.h"
#include "core/report/agreement_json.h"
#include "core/report/plan_card_text.h"

namespace beatwitness::verbs {
namespace {

using evaluation::ProjectAgreement;
using evaluation::Question;

/// What one run of the verb works out, with the library closed again.
struct Answered {
    Question question;
    ProjectAgreement answer;
    std::vector<evaluation::Robustness> robustness;
    std::optional<report::EditionReport> edition;
    std::optional<library::Edition> now;  ///< to be frozen
};

/// From the file, else what the project has set and not withdrawn.
Result<std::vector<agreement::Criterion>> criteriaOf(library::Library& library,
                                                     const AgreementArguments& arguments) {
    if (!arguments.criteria.empty()) return readCriteria(arguments.criteria);
    const auto project = library.findProject(arguments.question.project);
    if (!project) return project.fault();
    const auto stored = library.criteria(*project);
    if (!stored) return stored.fault();
    std::vector<agreement::Criterion> criteria;
    for (const auto& one : *stored)
        if (!one.withdrawnAt) criteria.push_back(one.criterion);
    return criteria;
}

Result<Answered> withEdition(library::Library& library, const AgreementArguments& arguments,
                             Answered answered, std::optional<library::Edition> then) {
    if (!then && arguments.freeze.empty()) return answered;
    auto now = evaluation::editionNow(library, answered.question, answered.answer, arguments.freeze);
    if (!now) return now.fault();
    if (then) answered.edition = report::EditionReport{*then, evaluation::changesSince(*then, *now)};
    if (!arguments.freeze.empty()) answered.now = std::move(*now);
    return answered;
}

Result<Answered> answered(const AgreementArguments& arguments) {
    auto library = openLibrary(arguments.library);
    if (!library) return library.fault();
    Answered all{arguments.question, {}, {}, {}, {}};
    std::optional<library::Edition> then;
    if (!arguments.edition.empty()) {
        const auto project = library->findProject(arguments.question.project);
        if (!project) return project.fault();
        auto frozen = library->edition(*project, arguments.edition);
        if (!frozen) return frozen.fault();
        then = std::move(*frozen);
        all.question = evaluation::questionOf(then->question);
        all.question.project = arguments.question.project;
    }
    auto criteria = criteriaOf(*library, arguments);
    if (!criteria) return criteria.fault();
    all.question.criteria = std::move(*criteria);
    auto answer = evaluation::projectAgreement(*library, all.question);
    if (!answer) return answer.fault();
    all.answer = std::move(*answer);
    if (all.question.robustness) {
        const bool excluding = all.question.excludeReferenceFaults;
        const auto &own = all.answer.evidence, &other = all.answer.otherFaults;
        all.robustness =
            evaluation::robustness(excluding ? own : other, excluding ? other : own, all.question,
                                   *all.question.robustness, all.question.criteria);
    }
    return withEdition(*library, arguments, std::move(all), std::move(then));
}

/// Faults where the edition could not be kept; nothing is printed then.
std::optional<Fault> freeze(const AgreementArguments& arguments, const std::optional<library::Edition>& now) {
    if (!now) return std::nullopt;
    auto library = library::Library::open(arguments.library);
    if (!library) return library.fault();
    const auto project = library->findProject(arguments.question.project);
    if (!project) return project.fault();
    const auto done = library->freezeEdition(*project, *now);
    if (!done) return done.fault();
    return std::nullopt;
}

ExitCode printPlan(const AgreementArguments& arguments, const Streams& streams) {
    auto library = library::Library::open(arguments.library, {.write = false});
    if (!library) return reportFault(library.fault(), arguments.json, streams);
    const auto card = evaluation::planCard(*library, arguments.question.project);
    if (!card) return reportFault(card.fault(), arguments.json, streams);
    if (arguments.json) {
        streams.out << report::planCardJson(*card, arguments.expectation);
        return ExitCode::Done;
    }
    streams.out << report::planCardText(*card);
    if (arguments.expectation) streams.out << report::sessionsNeededText(*card, *arguments.expectation);
    return ExitCode::Done;
}

}  // namespace

ExitCode projectAgreement(const AgreementArguments& arguments, const Streams& streams) {
    if (arguments.plan) return printPlan(arguments, streams);
    const auto found = answered(arguments);
    if (!found) return reportFault(found.fault(), arguments.json, streams);
    const auto& answer = found->answer;
    keepOutcomes(arguments.library, answer.fresh);
    if (answer.groups.empty())
        return reportFault({FaultCode::NothingToCompare,
                            "the project holds no session with a reference and a test device as asked, so "
                            "there is nothing to compare",
                            arguments.library,
                            {},
                            {}},
                           arguments.json, streams);
    if (const auto fault = freeze(arguments, found->now)) return reportFault(*fault, arguments.json, streams);
    const report::AgreementReport report{answer, found->question, arguments.library, found->robustness,
                                         found->edition};
    if (arguments.json)
        streams.out << report::agreementJson(report);
    else
        streams.out << (arguments.csv ? report::agreementCsv(answer) : report::agreementText(report));
    return ExitCode::Done;
}

}  // namespace beatwitness::verbs
