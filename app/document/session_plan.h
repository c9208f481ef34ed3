#pragma once

#include <memory>
#include <vector>

#include "core/analysis/session_analysis.h"
#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/library/ids.h"
#include "core/recording/read_recording.h"

namespace beatwitness::app {

/// A file as it was read; shared between plans, undo steps and the worker, never changed.
using SharedFile = std::shared_ptr<const recording::RecordingFile>;
using SharedAnalysis = std::shared_ptr<const analysis::SessionAnalysis>;

/// What is compared with what, and how each test's clock is to be brought to the reference's.
struct SessionPlan {
    struct Test {
        SharedFile file;
        analysis::Request request;
        library::WearingId wearing{};  ///< of a session of the library; else 0
    };
    SharedFile reference;
    std::vector<Test> tests;
    std::vector<SharedFile> contexts;
    library::WearingId referenceWearing{};  ///< likewise
    analysis::SessionDecisions decisions;   ///< those that are in sight
    analysis::Settings settings;

    [[nodiscard]] bool empty() const { return reference == nullptr; }
};

/// A plan and what came of it. Both or neither are there.
struct Snapshot {
    SessionPlan plan;
    SharedAnalysis analysis;
};

/// The numbers of a plan: analyseSession() for each test under its own request, in the order of the plan.
///
/// Requires: a reference and at least one test. Faults: those of analyseSession().
[[nodiscard]] Result<analysis::SessionAnalysis> analysePlan(const SessionPlan& plan, const RunControl& run);

}  // namespace beatwitness::app
