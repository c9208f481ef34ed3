#pragma once

#include <string>
#include <vector>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/library/library.h"
#include "core/report/share/share.h"
#include "core/report/write_up/document.h"

namespace beatwitness::report {

struct MadeWriteUp {
    WriteUp document;
    std::vector<Attachment> attachments;        ///< the answer as JSON, tables as CSV
    std::vector<library::StoredOutcome> fresh;  ///< as MadeFigure::fresh
};

/// The whole write-up of a project: question and plan, people, devices, sessions, failed attempts, methods
/// from the settings in force, exclusions, results by activity and pooled, verdicts and how they stand up,
/// devices against each other, what errors are made of, examples by rule, limits, cautions; then every
/// session, the consensus checklist, settings and recordings. Figures that have nothing to show (two devices
/// that share no session) are left out.
///
/// Every number is one of the answer that agreementJson() prints, rounded, or a count. Faults: those of
/// studyOf() and makeFigure(), Cancelled.
[[nodiscard]] Result<MadeWriteUp> makeWriteUp(library::Library& library, const std::string& project,
                                              const RunControl& run = {});

}  // namespace beatwitness::report
