#include <ostream>

#include "app/verbs/verb.h"
#include "core/report/analysis_json.h"

namespace beatwitness::verbs {
namespace {

Result<std::vector<recording::RecordingFile>> readAll(const std::vector<std::string>& names,
                                                      const recording::ReadOptions& options) {
    std::vector<recording::RecordingFile> files;
    for (const auto& name : names) {
        auto file = recording::readRecordingFile(name, options);
        if (!file) return file.fault();
        files.push_back(std::move(*file));
    }
    return files;
}

Result<analysis::SessionAnalysis> analysed(const AnalyseArguments& arguments) {
    auto reference = recording::readRecordingFile(arguments.reference, arguments.read);
    if (!reference) return reference.fault();
    auto tests = readAll(arguments.tests, arguments.read);
    if (!tests) return tests.fault();
    auto contexts = readAll(arguments.contexts, arguments.read);
    if (!contexts) return contexts.fault();
    return analysis::analyseSession(std::move(*reference), std::move(*tests), std::move(*contexts),
                                    arguments.request);
}

}  // namespace

ExitCode analysePair(const AnalyseArguments& arguments, const Streams& streams) {
    const auto session = analysed(arguments);
    if (!session) return reportFault(session.fault(), arguments.json, streams);
    streams.out << (arguments.json ? report::analysisJson(*session) : report::analysisText(*session));
    return ExitCode::Done;
}

}  // namespace beatwitness::verbs
