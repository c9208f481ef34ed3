#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace beatwitness {

/// Everything that a file, a disk or a user can cause. Our own mistakes are asserts.
enum class FaultCode {
    Cancelled,         ///< the user stopped it
    WrongUsage,        ///< an option or its value makes no sense
    NotFound,          ///< no such file
    NotAFile,          ///< a folder or a device where a file was expected
    NotReadable,       ///< permission, or the disk failed
    NotWritable,       ///< an output could not be written
    Empty,             ///< a file of no bytes
    UnknownFormat,     ///< none of the readers knows it
    Damaged,           ///< known format, but nothing could be read
    NoTimeColumn,      ///< separated text without times
    NoHeartRate,       ///< read, but it holds no valid heart rate
    NothingToCompare,  ///< two recordings without a common second or value
    TooFewPairs,       ///< a statistic was asked of too few pairs
    TooLong,           ///< longer than can be worked on
    LibraryNotOpened,  ///< no such library, a folder, no permission
    LibraryForeign,    ///< a file, but not a library of ours
    LibraryNewer,      ///< made by a newer program
    LibraryReadOnly,   ///< the file or its folder cannot be written
    LibraryLocked,     ///< another program or window writes to it
    LibraryFull,       ///< no room left on the disk
    LibraryDamaged,    ///< what it holds cannot be read back
    LibraryFailed,     ///< the disk failed in another way
    NotInLibrary,      ///< a session, project or recording that is not there
};

/// What went wrong, in one plain sentence.
///
/// `message` names what was found and what was expected, without file and place; sentence() adds those.
struct Fault {
    FaultCode code = FaultCode::Damaged;
    std::string message;
    std::string file;                   ///< as the user named it; empty while unknown
    std::optional<std::uint64_t> byte;  ///< 0-based offset into the file
    std::optional<std::uint64_t> line;  ///< 1-based
};

/// The code as JSON shows it: lower case with dashes, e.g. `not-readable`.
[[nodiscard]] std::string_view faultCodeName(FaultCode code);

/// "strap.csv, line 3: expected a time, found \"abc\"."
[[nodiscard]] std::string sentence(const Fault& fault);

}  // namespace beatwitness
