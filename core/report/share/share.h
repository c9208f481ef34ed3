#pragma once

#include <array>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/library/library.h"
#include "core/report/write_up/study.h"

/// What leaves the program for others: tables, pairs, libraries, and everything that a critic needs.
namespace beatwitness::report {

enum class ShareKind {
    Tables,   ///< a folder of CSV: agreement in every grouping, sessions, flags, phases and pins,
              ///< comparisons, examples
    Pairs,    ///< a folder of CSV: every second of every wearing, under both clocks
    Project,  ///< the project as one library file, originals included
    Copy,     ///< the same for anybody (core/library/sharing.h)
    Bundle,   ///< a folder: the copy, pairs, tables, JSON, settings, formulas and digests, all from the copy
};
inline constexpr std::array allShareKinds{ShareKind::Tables, ShareKind::Pairs, ShareKind::Project,
                                          ShareKind::Copy, ShareKind::Bundle};
/// `tables`, `pairs`, `project`, `copy`, `bundle`.
[[nodiscard]] std::string_view shareKindName(ShareKind kind);
[[nodiscard]] std::optional<ShareKind> shareKindOf(std::string_view name);
/// True where it is one library file, false where it is a folder.
[[nodiscard]] bool isOneFile(ShareKind kind);

struct Shared {
    std::vector<std::filesystem::path> files;   ///< in the order of writing
    std::vector<library::StoredOutcome> fresh;  ///< as MadeFigure::fresh; empty where they are of a copy
};

/// Writes `kind` of the project to `out`, a file or a folder (made where it is not there). Files are written
/// whole or not at all; files of other names are left alone. Works on a library that is open for reading
/// only. Faults: those of studyOf() and library::saveProject(), NotWritable, Cancelled.
[[nodiscard]] Result<Shared> shareProject(library::Library& library, const std::string& project,
                                          ShareKind kind, const std::filesystem::path& out,
                                          const RunControl& run = {});

/// A file to be written, by its path with slashes below the folder.
struct Attachment {
    std::string path;
    std::string bytes;
};

/// The files of ShareKind::Tables. RFC 4180.
[[nodiscard]] std::vector<Attachment> tableFiles(const Study& study);

/// Seconds in which the reference has a value and is not excluded, as CSV: `second_s` of session time,
/// `reference_bpm`, `aligned_bpm`, `error_bpm` (aligned less reference), `as_recorded_bpm`, `flag`. A value
/// that is not there is an empty cell; numbers have all their digits.
[[nodiscard]] std::string pairsCsv(const evaluation::SessionEvidence& evidence);

}  // namespace beatwitness::report
