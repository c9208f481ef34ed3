#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/evaluation/narrowed_evidence.h"
#include "core/evaluation/project_agreement.h"
#include "core/report/figures/figure_request.h"
#include "core/report/scene.h"

/// One look at the agreement of a project or a session: everything that the Agreement page shows.
namespace beatwitness::report {

enum class AgreementPart { Map, Difference, Distribution, Ranges, SmallMaps, Attribution, Table };

struct AgreementAsk {
    std::string project;
    std::vector<std::string> devices;  ///< of all that there are, in the order of their colours
    std::vector<int> colours;          ///< of each of them
    evaluation::Scope scope;
    evaluation::Clock clock = evaluation::Clock::Aligned;
    int epoch_s = 1;
    bool excludeReferenceFaults = true;
    std::vector<evaluation::GroupKey> by;  ///< of the table, beside the device
    AgreementPart part = AgreementPart::Map;
    Cells::Scale scale = Cells::Scale::Log;

    friend bool operator==(const AgreementAsk&, const AgreementAsk&) = default;
};

/// What can be chosen from; of all the evidence, whatever the scope.
struct AgreementChoices {
    std::vector<std::string> devices, activities, phases;  ///< phases: kinds
    std::vector<int> ranges;                               ///< lower edges
    bool hasFirmware = false, hasWearers = false;          ///< more than one of them
};

/// What one device read in one session, for the map.
struct MapSession {
    std::int64_t session = 0;
    std::string name, device;
    std::shared_ptr<const agreement::PairedSeconds> seconds;  ///< or epochs
};

struct AgreementView {
    AgreementAsk ask;
    AgreementChoices choices;
    std::size_t failedAttempts = 0;
    double pairs = 0.0;
    std::size_t sessions = 0;
    /// Under the clock asked. By device; by device and activity; by device and what was asked (Table alone).
    std::vector<evaluation::AgreementGroup> devices, activities, table;
    std::vector<evaluation::AgreementGroup> floor;  ///< second references against the first, by device
    std::vector<MapSession>
        map;  ///< where the part is Map and one device is asked; else small maps are a scene
    std::optional<Scene> scene;  ///< of the other parts
    std::string nothing;         ///< one sentence where there is nothing to show; empty otherwise
};

/// What can be chosen from in `evidence`. O(seconds).
[[nodiscard]] AgreementChoices choicesIn(const std::vector<evaluation::SessionEvidence>& evidence);

/// `evidence`: all that there is of the project (or session), second references among it.
[[nodiscard]] AgreementView agreementView(const std::vector<evaluation::SessionEvidence>& evidence,
                                          const AgreementChoices& choices, const AgreementAsk& ask,
                                          const std::vector<agreement::Criterion>& criteria,
                                          std::size_t failedAttempts);

/// The part in sight as a figure of the project; nothing for the table, or where a figure cannot say what is
/// asked (phases, ranges, some of several sessions).
[[nodiscard]] std::optional<FigureRequest> figureOf(const AgreementAsk& ask);

}  // namespace beatwitness::report
