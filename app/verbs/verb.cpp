#include "app/verbs/verb.h"

#include <cassert>
#include <chrono>
#include <ostream>

#include "core/report/inspection_json.h"

namespace beatwitness::verbs {

ExitCode exitCodeOf(FaultCode code) {
    switch (code) {
        case FaultCode::NoHeartRate:
        case FaultCode::NothingToCompare:
        case FaultCode::TooFewPairs:
            return ExitCode::NothingToCompare;
        case FaultCode::WrongUsage:
        case FaultCode::Cancelled:
        case FaultCode::NotInLibrary:
            return ExitCode::WrongUsage;
        case FaultCode::NotFound:
        case FaultCode::NotAFile:
        case FaultCode::NotReadable:
        case FaultCode::NotWritable:
        case FaultCode::Empty:
        case FaultCode::UnknownFormat:
        case FaultCode::Damaged:
        case FaultCode::NoTimeColumn:
        case FaultCode::TooLong:
            return ExitCode::NotRead;
        case FaultCode::LibraryNotOpened:
        case FaultCode::LibraryForeign:
        case FaultCode::LibraryNewer:
        case FaultCode::LibraryReadOnly:
        case FaultCode::LibraryLocked:
        case FaultCode::LibraryFull:
        case FaultCode::LibraryDamaged:
        case FaultCode::LibraryFailed:
            return ExitCode::NotOpened;
    }
    assert(false);
    return ExitCode::NotRead;
}

ExitCode reportFault(const Fault& fault, bool json, const Streams& streams) {
    streams.err << sentence(fault) << '\n';
    if (json) streams.out << report::errorJson(fault);
    return exitCodeOf(fault.code);
}

Result<library::Library> openLibrary(const std::string& path) {
    auto library = library::Library::open(path, {.write = false});
    if (library || library.fault().code != FaultCode::LibraryReadOnly) return library;
    if (auto older = library::Library::open(path); !older) return older;
    return library::Library::open(path, {.write = false});
}

void keepOutcomes(const std::string& path, const std::vector<library::StoredOutcome>& fresh) {
    if (fresh.empty()) return;
    auto library = library::Library::open(path, {.patience = std::chrono::milliseconds{0}});
    if (library) (void)static_cast<bool>(library->storeOutcomes(fresh));
}

}  // namespace beatwitness::verbs
