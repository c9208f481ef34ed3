#include "core/report/share/share.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <map>

#include "core/analysis/wearing_outcome.h"
#include "core/foundation/text.h"
#include "core/foundation/version.h"
#include "core/library/sharing.h"
#include "core/library/whole_file.h"
#include "core/report/agreement_json.h"
#include "core/report/cautions.h"
#include "core/report/csv.h"

namespace beatwitness::report {
namespace {

using library::Library;

/// Writes below one folder and keeps count.
class Folder {
public:
    Folder(std::filesystem::path at, Shared& shared) : at_{std::move(at)}, shared_{&shared} {}

    Result<Done> write(const Attachment& file) {
        const auto path = at_ / file.path;
        auto done = library::writeWholeFile(path, file.bytes);
        if (done) shared_->files.push_back(path);
        return done;
    }

private:
    std::filesystem::path at_;
    Shared* shared_;
};

/// "5-x-4-min": what every file system takes.
std::string fileWord(const std::string& name) {
    std::string word;
    for (const char c : name) {
        if (std::isalnum(static_cast<unsigned char>(c)) != 0)
            word.push_back(static_cast<char>(std::tolower(static_cast<unsigned char>(c))));
        else if (!word.empty() && word.back() != '-')
            word.push_back('-');
        if (word.size() >= 40) break;
    }
    while (!word.empty() && word.back() == '-')
        word.pop_back();
    return word.empty() ? "session" : word;
}

Result<Done> writePairs(const Study& study, Folder& folder, const RunControl& run) {
    auto index = csvLine({"file", "session", "start", "activity", "device", "clock", "excluded_reference_s"});
    const auto& all = study.answer.evidence;
    std::size_t number = 0;
    for (const auto& item : all) {
        if (run.stopRequested()) return cancelled();
        ++number;
        if (item.secondReference) continue;
        // The number keeps sessions and units of one name apart.
        const auto path =
            fmt::format("{:03}-{}-{}.csv", number, fileWord(item.sessionName), fileWord(item.device));
        if (auto done = folder.write({path, pairsCsv(item)}); !done) return done;
        index += csvLine({path, item.sessionName, item.start ? isoInstant(*item.start) : "", item.activity,
                          item.device, item.refused ? "as recorded: alignment refused" : "aligned",
                          std::to_string(item.excluded.size())});
        run.progress(static_cast<double>(number) / static_cast<double>(all.size()));
    }
    return folder.write({"index.csv", index});
}

Result<Done> writeTables(const Study& study, Folder& folder) {
    for (const auto& file : tableFiles(study))
        if (auto done = folder.write(file); !done) return done;
    return Done{};
}

std::string settingsCsv(const Study& study) {
    auto csv = csvLine({"key", "value", "standard", "unit", "reason", "source"});
    for (const auto& row : study.settings)
        csv += csvLine({std::string{row.key}, fmt::format("{}", row.value), fmt::format("{}", row.standard),
                        std::string{row.unit}, std::string{row.reason}, std::string{row.source}});
    return csv;
}

std::string formulasCsv() {
    auto csv = csvLine({"key", "name", "unit", "formula", "source"});
    for (const auto& facts : agreement::metrics())
        csv += csvLine({std::string{facts.key}, std::string{facts.name}, std::string{facts.unit},
                        std::string{facts.formula}, std::string{facts.source}});
    return csv;
}

std::string recordingsCsv(const Study& study) {
    auto csv = csvLine({"file", "sha256"});
    for (const auto& file : study.recordings)
        csv += csvLine({file.file, file.sha256});
    return csv;
}

/// What lies in the bundle and how to go through it.
std::string readMe(const Study& study) {
    return fmt::format(
        "{}\n\nEverything needed to check the numbers of this project, made by {} (analysis version {}).\n\n"
        "copy.beatwitness   the project as a library without originals, names, serial numbers and notes: the "
        "program\n"
        "                   opens it and computes every number again\n"
        "agreement.json     the numbers with intervals and methods, by device and activity\n"
        "tables/            the same and more as CSV: by session, by range of heart rate, flags, "
        "comparisons, examples\n"
        "pairs/             every second in which the reference has a value and is not left out: the "
        "reference, the\n"
        "                   device under the aligned clock and as recorded, and the flag that covers it\n"
        "settings.csv       every threshold in force, with its reason and source\n"
        "formulas.csv       how each figure is defined, with its source\n"
        "recordings.csv     SHA-256 of every recording: whoever has the originals can compare\n\n"
        "An error is test minus reference: a negative one reads low. From pairs/ alone the time-weighted "
        "bias and mean\n"
        "absolute error are the mean of error_bpm and of its size over all rows of a device and activity "
        "that have one.\n"
        "Intervals take sessions, not seconds, as the unit. {}\n",
        study.project.label, programVersion(), analysis::analysisVersion, projectCautionLine());
}

Result<Shared> writeFolder(Library& library, const std::string& project, ShareKind kind,
                           const std::filesystem::path& out, const RunControl& run) {
    auto study = studyOf(library, project, run.part(0, 0.7));
    if (!study) return study.fault();
    Shared shared;
    const bool all = kind == ShareKind::Bundle;
    if (kind != ShareKind::Tables) {
        Folder pairs{all ? out / "pairs" : out, shared};
        if (auto done = writePairs(*study, pairs, run.part(0.7, 1)); !done) return done.fault();
    }
    if (kind != ShareKind::Pairs) {
        Folder tables{all ? out / "tables" : out, shared};
        if (auto done = writeTables(*study, tables); !done) return done.fault();
    }
    if (all) {
        Folder folder{out, shared};
        const AgreementReport answer{
            study->answer, study->question, library.path().filename().string(), {}, {}};
        for (const Attachment& file :
             {Attachment{"agreement.json", agreementJson(answer)},
              Attachment{"settings.csv", settingsCsv(*study)}, Attachment{"formulas.csv", formulasCsv()},
              Attachment{"recordings.csv", recordingsCsv(*study)}, Attachment{"README.txt", readMe(*study)}})
            if (auto done = folder.write(file); !done) return done.fault();
    }
    shared.fresh = std::move(study->answer.fresh);
    return shared;
}

Result<Done> makeFolder(const std::filesystem::path& folder) {
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    if (!error) return Done{};
    return Fault{FaultCode::NotWritable,
                 fmt::format("the folder could not be made ({})", error.message()),
                 folder.string(),
                 {},
                 {}};
}

/// All of it from the copy, so that nothing can slip through that the copy does not have.
Result<Shared> writeBundle(Library& library, library::ProjectId project, const std::filesystem::path& out,
                           const RunControl& run) {
    if (auto done = makeFolder(out); !done) return done.fault();
    const auto path = out / "copy.beatwitness";
    if (auto done = library::saveProject(library, project, path, library::Sharing::Copy, run.part(0, 0.2));
        !done)
        return done.fault();
    auto copy = Library::open(path, {.write = false});
    if (!copy) return copy.fault();
    const auto projects = copy->projects();
    if (!projects) return projects.fault();
    auto shared = writeFolder(*copy, projects->front().label, ShareKind::Bundle, out, run.part(0.2, 1));
    if (!shared) return shared.fault();
    shared->files.insert(shared->files.begin(), path);
    shared->fresh.clear();
    return shared;
}

}  // namespace

std::string_view shareKindName(ShareKind kind) {
    switch (kind) {
        case ShareKind::Tables:
            return "tables";
        case ShareKind::Pairs:
            return "pairs";
        case ShareKind::Project:
            return "project";
        case ShareKind::Copy:
            return "copy";
        case ShareKind::Bundle:
            break;
    }
    return "bundle";
}

std::optional<ShareKind> shareKindOf(std::string_view name) {
    const auto found = std::ranges::find(allShareKinds, name, shareKindName);
    return found == allShareKinds.end() ? std::nullopt : std::optional{*found};
}

bool isOneFile(ShareKind kind) {
    return kind == ShareKind::Project || kind == ShareKind::Copy;
}

Result<Shared> shareProject(Library& library, const std::string& project, ShareKind kind,
                            const std::filesystem::path& out, const RunControl& run) {
    const auto id = library.findProject(project);
    if (!id) return id.fault();
    if (kind == ShareKind::Bundle) return writeBundle(library, *id, out, run);
    if (!isOneFile(kind)) return writeFolder(library, project, kind, out, run);
    const auto sharing = kind == ShareKind::Copy ? library::Sharing::Copy : library::Sharing::Project;
    if (auto done = library::saveProject(library, *id, out, sharing, run); !done) return done.fault();
    return Shared{{out}, {}};
}

}  // namespace beatwitness::report
