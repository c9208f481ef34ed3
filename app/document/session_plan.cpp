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
    std::optional<analysis::SessionAnalysis> whole;
    const auto total = static_cast<double>(plan.tests.size());
    for (std::size_t i = 0; i < plan.tests.size(); ++i) {
        const auto& test = plan.tests[i];
        const auto control = run.part(static_cast<double>(i) / total, static_cast<double>(i + 1) / total);
        auto one = analysis::analyseSession(*plan.reference, {*test.file}, copies(plan.contexts),
                                            test.request, {}, control);
        if (!one) return one.fault();
        if (run.stopRequested()) return cancelled();
        if (!whole) {
            whole = std::move(*one);
        } else {
            std::move(one->tests.begin(), one->tests.end(), std::back_inserter(whole->tests));
        }
    }
    return std::move(*whole);
}

}  // namespace beatwitness::app
