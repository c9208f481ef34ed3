#include "core/foundation/fault.h"

#include <fmt/format.h>

#include <cassert>

namespace beatwitness {

std::string_view faultCodeName(FaultCode code) {
    switch (code) {
        case FaultCode::Cancelled:
            return "cancelled";
        case FaultCode::WrongUsage:
            return "wrong-usage";
        case FaultCode::NotFound:
            return "not-found";
        case FaultCode::NotAFile:
            return "not-a-file";
        case FaultCode::NotReadable:
            return "not-readable";
        case FaultCode::NotWritable:
            return "not-writable";
        case FaultCode::Empty:
            return "empty";
        case FaultCode::UnknownFormat:
            return "unknown-format";
        case FaultCode::Damaged:
            return "damaged";
        case FaultCode::NoTimeColumn:
            return "no-time-column";
        case FaultCode::NoHeartRate:
            return "no-heart-rate";
        case FaultCode::NothingToCompare:
            return "nothing-to-compare";
        case FaultCode::TooFewPairs:
            return "too-few-pairs";
        case FaultCode::TooLong:
            return "too-long";
        case FaultCode::LibraryNotOpened:
            return "library-not-opened";
        case FaultCode::LibraryForeign:
            return "library-foreign";
        case FaultCode::LibraryNewer:
            return "library-newer";
        case FaultCode::LibraryReadOnly:
            return "library-read-only";
        case FaultCode::LibraryLocked:
            return "library-locked";
        case FaultCode::LibraryFull:
            return "library-full";
        case FaultCode::LibraryDamaged:
            return "library-damaged";
        case FaultCode::LibraryFailed:
            return "library-failed";
        case FaultCode::NotInLibrary:
            return "not-in-library";
    }
    assert(false);
    return "damaged";
}

std::string sentence(const Fault& fault) {
    std::string place = fault.file;
    const auto append = [&place](std::string_view word, std::uint64_t number) {
        place += fmt::format("{}{} {}", place.empty() ? "" : ", ", word, number);
    };
    if (fault.line) append("line", *fault.line);
    if (fault.byte) append("byte", *fault.byte);
    std::string text = place.empty() ? fault.message : place + ": " + fault.message;
    if (!text.ends_with('.')) text += '.';
    return text;
}

}  // namespace beatwitness
