#include <ostream>

#include "app/verbs/verb.h"
#include "core/report/agreement_json.h"

namespace beatwitness::verbs {

ExitCode projectAgreement(const AgreementArguments& arguments, const Streams& streams) {
    auto library = library::Library::open(arguments.library, {.write = false});
    if (!library) return reportFault(library.fault(), arguments.json, streams);
    const auto answer = evaluation::projectAgreement(*library, arguments.question);
    if (!answer) return reportFault(answer.fault(), arguments.json, streams);
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
