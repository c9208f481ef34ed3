#include <ostream>

#include "app/verbs/verb.h"
#include "core/report/inspection_json.h"

namespace beatwitness::verbs {

ExitCode inspectFiles(const InspectArguments& arguments, const Streams& streams) {
    std::vector<report::Inspected> inspected;
    ExitCode worst = ExitCode::Done;
    for (const auto& name : arguments.files) {
        auto file = recording::readRecordingFile(name, arguments.read);
        if (file) {
            if (!arguments.json) streams.out << report::inspectionText(*file);
            inspected.emplace_back(std::move(*file));
        } else {
            streams.err << sentence(file.fault()) << '\n';
            worst = std::max(worst, exitCodeOf(file.fault().code));
            inspected.emplace_back(file.fault());
        }
    }
    if (arguments.json) streams.out << report::inspectionJson(inspected);
    return worst;
}

}  // namespace beatwitness::verbs
