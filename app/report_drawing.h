#pragma once

#include <filesystem>
#include <vector>

#include "app/verbs/report_words.h"
#include "core/foundation/run_control.h"
#include "core/library/library.h"

namespace beatwitness {

/// What a write-up left in its folder, and analyses that had to be made for it.
struct WrittenReport {
    std::filesystem::path document;  ///< the HTML file
    std::size_t figures = 0;
    std::vector<library::StoredOutcome> fresh;
};

/// Makes the write-up of `project`, draws its figures and writes `write-up.html` (which needs nothing else),
/// `write-up.md` with `figures/`, `agreement.json` and `tables/` into `folder`, which is made where it is not there.
/// Each file is written whole or not at all, the document last; files of other names are left alone. On any thread,
/// with a QGuiApplication. Faults: those of report::makeWriteUp(), NotWritable, Cancelled.
[[nodiscard]] Result<WrittenReport> writeReport(library::Library& library, const std::string& project,
                                                const std::filesystem::path& folder, const RunControl& run = {});

/// `report`: the same without a display. Requires: no QApplication yet.
[[nodiscard]] verbs::ExitCode drawReport(const verbs::ReportArguments& arguments, const verbs::Streams& streams);

}  // namespace beatwitness
