#include <ostream>

#include "app/verbs/verb.h"
#include "core/report/agreement_json.h"

namespace beatwitness::verbs {

namespace {

/// Keeps what was worked out for the next time. Nothing is lost where the library cannot be written just now.
void keep(const std::string& path, const std::vector<library::StoredOutcome>& fresh) {
    if (fresh.empty()) return;
    auto library = library::Library::open(path, {.patience = std::chrono::milliseconds{0}});
    if (library) (void)static_cast<bool>(library->storeOutcomes(fresh));
}

Result<evaluation::ProjectAgreement> answerOf(const AgreementArguments& arguments) {
    auto library = library::Library::open(arguments.library, {.write = false});
    if (!library) return library.fault();
    return evaluation::projectAgreement(*library, arguments.question);
}

}  // namespace

ExitCode projectAgreement(const AgreementArguments& arguments, const Streams& streams) {
    const auto answer = answerOf(arguments);
    if (!answer) return reportFault(answer.fault(), arguments.json, streams);
    keep(arguments.library, answer->fresh);
    if (answer->groups.empty())
        return reportFault({FaultCode::NothingToCompare,
                            "the project holds no session with a reference and a test device as asked, so "
                            "there is nothing to "
                            "compare",
                            arguments.library,
                            {},
                            {}},
                           arguments.json, streams);
    if (arguments.json)
        streams.out << report::agreementJson(*answer, arguments.question, arguments.library);
    else
        streams.out << (arguments.csv ? report::agreementCsv(*answer) : report::agreementText(*answer));
    return ExitCode::Done;
}

}  // namespace beatwitness::verbs
