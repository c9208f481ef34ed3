#include "core/report/write_up/write_up.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "core/analysis/wearing_outcome.h"
#include "core/foundation/version.h"
#include "core/report/agreement_json.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/json_values.h"
#include "core/report/write_up/prose.h"
#include "core/report/write_up/sections.h"

namespace beatwitness::report {
namespace {

using library::Library;

std::string libraryName(const Library& library) {
    return library.path().filename().string();
}

/// "2 March 2031 to 29 March 2031".
std::string daysOf(const Study& study) {
    std::optional<Micros> first, last;
    for (const auto& session : study.sessions)
        if (session.row.start) {
            first = std::min(first.value_or(*session.row.start), *session.row.start);
            last = std::max(last.value_or(*session.row.start), *session.row.start);
        }
    if (!first) return "on days not recorded";
    if (dayWords(*first) == dayWords(*last)) return "on " + dayWords(*first);
    return fmt::format("between {} and {}", dayWords(*first), dayWords(*last));
}

std::string wearersOf(const Study& study) {
    std::set<std::string> wearers;
    for (const auto& session : study.sessions)
        wearers.insert(session.row.wearer);
    return wearers.size() == 1 ? "one wearer" : fmt::format("{} wearers", wearers.size());
}

std::string provenanceOf(const Study& study) {
    Json digests = Json::array();
    for (const auto& file : study.recordings)
        digests.push_back(file.sha256);
    const Json json{{"schema", "beatwitness.write-up/1"},
                    {"project", study.project.label},
                    {"program", programVersion()},
                    {"analysis_version", analysis::analysisVersion},
                    {"settings_sha256", settingsDigest(study.settings)},
                    {"recordings_sha256", std::move(digests)}};
    return json.dump(-1, ' ', true, Json::error_handler_t::replace);
}

void addHead(WriteUp& document, const Study& study, const Library& library) {
    document.title = study.project.label;
    document.subtitle = fmt::format("How well {} {} heart rate", listed(study.testDevices),
                                    study.testDevices.size() == 1 ? "measures" : "measure");
    document.byline = {fmt::format("{} of {}, recorded {}. Library \u201c{}\u201d.",
                                   counted(static_cast<double>(study.sessions.size()), "session", "sessions"),
                                   wearersOf(study), daysOf(study), libraryName(library)),
                       fmt::format("Written by {}, analysis version {}, settings {}.", programVersion(),
                                   analysis::analysisVersion, settingsDigest(study.settings).substr(0, 12)),
                       "Not a medical device; not for diagnosis, nor for pacing anyone at risk."};
    document.provenance = provenanceOf(study);
}

void append(WriteUp& document, std::vector<Section> sections) {
    std::ranges::move(sections, std::back_inserter(document.sections));
}

/// Fills every picture with its scene; those with nothing to show leave the document.
Result<Done> makePictures(Library& library, WriteUp& document, const RunControl& run) {
    const auto all = static_cast<double>(picturesOf(document).size());
    double made = 0;
    for (auto& section : document.sections) {
        std::vector<SectionBlock> kept;
        for (auto& block : section.blocks) {
            auto* picture = std::get_if<Picture>(&block);
            if (picture != nullptr) {
                if (run.stopRequested()) return cancelled();
                auto figure = makeFigure(library, picture->request);
                run.progress(++made / all);
                if (!figure && figure.fault().code == FaultCode::NothingToCompare) continue;
                if (!figure) return figure.fault();
                picture->scene = std::move(figure->scene);
                picture->definition = figureDefinition(library, picture->request);
                if (picture->caption.empty())
                    picture->caption = picture->scene.title + ". " + picture->scene.caption;
            }
            kept.push_back(std::move(block));
        }
        section.blocks = std::move(kept);
    }
    return Done{};
}

std::vector<Attachment> attachmentsOf(const Study& study, const Library& library) {
    const AgreementReport report{study.answer, study.question, libraryName(library), {}, {}};
    auto files = tableFiles(study);
    for (auto& file : files)
        file.path.insert(0, "tables/");
    files.push_back({"agreement.json", agreementJson(report)});
    return files;
}

std::string descriptionOf(FigureKind kind, const std::vector<std::string>& devices) {
    return fmt::format("{} of {}.", figureKindTitle(kind), listed(devices));
}

}  // namespace

Picture pictureOf(const Study& study, FigureKind kind, std::string name, std::vector<std::string> devices) {
    Picture picture;
    picture.name = std::move(name);
    picture.description = descriptionOf(kind, devices.empty() ? study.testDevices : devices);
    picture.request.kind = kind;
    picture.request.project = study.project.label;
    picture.request.devices = std::move(devices);
    return picture;
}

Result<MadeWriteUp> makeWriteUp(Library& library, const std::string& project, const RunControl& run) {
    auto study = studyOf(library, project, run.part(0, 0.4));
    if (!study) return study.fault();
    const auto examples = examplesOf(study->answer.evidence, study->testDevices, evaluation::Clock::Aligned);
    MadeWriteUp made;
    addHead(made.document, *study, library);
    for (const auto sections :
         {summarySections, questionSections, materialSections, methodsSections, exclusionSections,
          resultSections, verdictSections, comparisonSections, attributionSections})
        append(made.document, sections(*study));
    append(made.document, exampleSections(*study, examples));
    for (const auto sections :
         {limitsSections, sessionAppendix, checklistSections, settingsSections, recordingsSections})
        append(made.document, sections(*study));
    if (auto done = makePictures(library, made.document, run.part(0.4, 1)); !done) return done.fault();
    made.attachments = attachmentsOf(*study, library);
    made.fresh = std::move(study->answer.fresh);
    return made;
}

}  // namespace beatwitness::report
