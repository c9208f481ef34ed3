#include "app/verbs/share_verb.h"

#include <CLI/CLI.hpp>
#include <ostream>

#include "core/report/share/share.h"

namespace beatwitness::verbs {
namespace {

std::vector<std::string> kindNames() {
    std::vector<std::string> names;
    for (const auto kind : report::allShareKinds)
        names.emplace_back(report::shareKindName(kind));
    return names;
}

/// What the reader of the terminal should know before sending it on.
const char* remark(report::ShareKind kind) {
    switch (kind) {
        case report::ShareKind::Tables:
        case report::ShareKind::Pairs:
            return "Names of sessions and devices stand in it as you gave them.";
        case report::ShareKind::Project:
            return "It holds the original recordings, names and notes: it is for you, not for publishing.";
        case report::ShareKind::Copy:
        case report::ShareKind::Bundle:
            break;
    }
    return "It holds no originals, positions, serial numbers, notes or names of wearers; times, altitude and "
           "speed of "
           "the recordings and body measures of wearers stay.";
}

}  // namespace

void addShareOptions(CLI::App& verb, ShareArguments& share) {
    verb.add_option("--library", share.library, "the library")->required();
    verb.add_option("--project", share.project, "the project")->required();
    verb.add_option(
            "--as", share.as,
            "tables or pairs (CSV), project (a library with originals), copy (a library for anybody), bundle "
            "(everything a critic needs)")
        ->required()
        ->check(CLI::IsMember(kindNames()));
    verb.add_option("--out", share.out,
                    "the file of a project or copy; the folder of tables, pairs or a bundle")
        ->required();
}

ExitCode shareProject(const ShareArguments& arguments, const Streams& streams) {
    const auto kind = *report::shareKindOf(arguments.as);
    std::optional<Result<report::Shared>> shared;
    {
        auto library = openLibrary(arguments.library);
        if (!library) return reportFault(library.fault(), false, streams);
        shared = report::shareProject(*library, arguments.project, kind, arguments.out);
    }
    if (!*shared) return reportFault(shared->fault(), false, streams);
    keepOutcomes(arguments.library, (*shared)->fresh);
    const auto files = (*shared)->files.size();
    streams.out << arguments.out << ": " << files << (files == 1 ? " file. " : " files. ") << remark(kind)
                << '\n';
    return ExitCode::Done;
}

}  // namespace beatwitness::verbs
