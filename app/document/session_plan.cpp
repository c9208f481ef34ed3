#include "app/document/session_plan.h"

#include <cassert>
#include <iterator>

namespace beatwitness::app {
namespace {

std::vector<recording::RecordingFile> copies(const std::vector<SharedFile>& files) {
    std::vector<recording::RecordingFile> copied;
    copied.reserve(files.size());
    for (const auto& file : files)
        copied.push_back(*file);
    return copied;
}

}  // namespace

Result<analysis::SessionAnalysis> analysePlan(const SessionPlan& plan, const RunControl& run) {
    assert(plan.reference && !plan.tests.empty());
    std::vector<recording::RecordingFile> tests;
    analysis::Request request;
    for (const auto& test : plan.tests) {
        tests.push_back(*test.file);
        request.clocks.push_back({test.request.align, test.request.offset, test.request.drift});
    }
    request.excludeReferenceFaults = plan.tests.front().request.excludeReferenceFaults;
    request.reason = plan.tests.front().request.reason;
    request.decisions = plan.decisions;
    return analysis::analyseSession(*plan.reference, std::move(tests), copies(plan.contexts), request,
                                    plan.settings, run);
}

}  // namespace beatwitness::app
