#pragma once

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "core/agreement/planning.h"
#include "core/analysis/session_analysis.h"
#include "core/evaluation/project_agreement.h"
#include "core/foundation/fault.h"

/// Beatwitness without a window: the verbs of the batch contract.
namespace beatwitness::verbs {

/// Exit codes of the batch contract.
enum class ExitCode {
    Done = 0,
    NothingToCompare = 1,  ///< read, but holds nothing to compare
    WrongUsage = 2,
    NotRead = 3,    ///< a file could not be read
    NotOpened = 4,  ///< the library could not be opened or written
};

/// The one table from what went wrong to an exit code.
[[nodiscard]] ExitCode exitCodeOf(FaultCode code);

/// Where a verb prints: results on `out`, one sentence an error on `err`.
struct Streams {
    std::ostream& out;
    std::ostream& err;
};

/// The fault as a sentence on `err` and, with `json`, as an object on `out`, which stays valid JSON.
ExitCode reportFault(const Fault& fault, bool json, const Streams& streams);

/// Opens the library for reading; one of an older layout is brought up to date first, where it can be written.
/// Faults: those of Library::open().
[[nodiscard]] Result<library::Library> openLibrary(const std::string& path);

/// Keeps analyses that a verb had to make for the next time. Nothing is lost where the library cannot be
/// written just now.
void keepOutcomes(const std::string& library, const std::vector<library::StoredOutcome>& fresh);

struct InspectArguments {
    std::vector<std::string> files;
    recording::ReadOptions read;
    bool json = false;
};
[[nodiscard]] ExitCode inspectFiles(const InspectArguments& arguments, const Streams& streams);

struct AnalyseArguments {
    std::string reference;
    std::vector<std::string> tests;
    std::vector<std::string> contexts;
    analysis::Request request;
    recording::ReadOptions read;
    bool json = false;
};
[[nodiscard]] ExitCode analysePair(const AnalyseArguments& arguments, const Streams& streams);

/// Either a manifest, or session, activity and the words `DEVICE=FILE`.
struct AddArguments {
    std::string library;
    std::string manifest;
    std::string session;
    std::string activity;
    std::string project;  ///< empty: the manifest's, else `All sessions`
    std::vector<std::string> references;
    std::vector<std::string> tests;
    recording::ReadOptions read;
    bool json = false;
};
/// Stores all of it or nothing; makes the library where there is none.
[[nodiscard]] ExitCode addSessions(const AddArguments& arguments, const Streams& streams);

struct AgreementArguments {
    std::string library;
    evaluation::Question question;
    std::string criteria;  ///< a file of criteria; empty: those of the project
    std::string freeze;    ///< label under which the answer is frozen
    std::string edition;   ///< label of an edition to ask again, and to be held against
    bool plan = false;     ///< the plan card alone, before any result
    std::optional<agreement::Expectation> expectation;  ///< for the sessions that criteria will take
    bool json = false;
    bool csv = false;
};
/// Pooled agreement of a project. What had to be analysed is kept in the library for the next time, where it
/// can be written.
[[nodiscard]] ExitCode projectAgreement(const AgreementArguments& arguments, const Streams& streams);

}  // namespace beatwitness::verbs
