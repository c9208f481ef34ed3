#pragma once

#include <functional>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/agreement/metric.h"
#include "core/analysis/wearing_outcome.h"
#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/library/library.h"

/// Analyses of a project's wearings, kept in the library, and worked out where they are missing or old.
namespace beatwitness::evaluation {

/// The wearings of `row` that are scored: tests and second references with a recording, against the first
/// reference with one. Empty where there is no such reference.
[[nodiscard]] std::vector<const library::WearingRow*> scoredWearings(const library::SessionRow& row);
[[nodiscard]] const library::WearingRow* scoringReference(const library::SessionRow& row);

/// What the clock that is stored of a wearing asks for: a shared source is an offset of nothing.
[[nodiscard]] analysis::ClockRequest clockRequestOf(const library::WearingClock& clock);

/// The thresholds in force in a project. Faults: NotInLibrary, those of reading.
[[nodiscard]] Result<analysis::Settings> projectSettings(library::Library& library,
                                                         library::ProjectId project);

/// What was decided on the flags of a session's reference and of `tests`, in their order: decisions in force.
[[nodiscard]] analysis::SessionDecisions decisionsOf(const library::SessionReview& review,
                                                     library::WearingId reference,
                                                     std::span<const library::WearingId> tests);

/// Outcomes of one project at one point in time.
///
/// An outcome counts only while its stamp is that of the session's recordings, of the settings in force and
/// of this program.
class KeptOutcomes {
public:
    [[nodiscard]] static Result<KeptOutcomes> of(library::Library& library, library::ProjectId project,
                                                 bool excludeReferenceFaults);

    /// nullptr where it has to be worked out.
    [[nodiscard]] const analysis::WearingOutcome* find(library::SessionId session,
                                                       library::WearingId wearing) const;
    /// True where every scored wearing of the session has one.
    [[nodiscard]] bool holds(const library::SessionRow& row) const;
    /// What new outcomes of the session are stamped with.
    [[nodiscard]] std::string stampFor(library::SessionId session) const;
    [[nodiscard]] std::optional<Micros> addedAt(library::SessionId session) const;
    [[nodiscard]] bool excludesReferenceFaults() const { return exclude_; }
    /// Thresholds of the project.
    [[nodiscard]] const analysis::Settings& settings() const { return settings_; }
    void add(const library::StoredOutcome& stored);

private:
    struct Session {
        std::string stamp;
        Micros added{0};
    };
    bool exclude_ = true;
    analysis::Settings settings_;
    std::map<library::SessionId, Session> sessions_;
    std::map<library::WearingId, library::StoredOutcome> outcomes_;
};

/// Analyses one session as `kept` asks: an outcome for each of its scored wearings. All tests and contexts
/// are analysed at once, with the decisions in force. Faults: those of reading the library and of
/// analyseSession() but NoHeartRate, which is an outcome.
[[nodiscard]] Result<std::vector<library::StoredOutcome>> analysedOutcomes(library::Library& library,
                                                                           const library::SessionRow& row,
                                                                           const KeptOutcomes& kept,
                                                                           const RunControl& run);

/// For a worker with a library of its own, opened for reading: works out what is missing or old and hands it
/// over session by session, to be kept with Library::storeOutcomes() by whoever may write. Some 20 ms a
/// wearing of an hour. Faults: those of analysedOutcomes(), Cancelled.
using OutcomeSink = std::function<void(const std::vector<library::StoredOutcome>&)>;
[[nodiscard]] Result<Done> fillOutcomes(library::Library& library, library::ProjectId project,
                                        bool excludeReferenceFaults, const OutcomeSink& sink,
                                        const RunControl& run = {});

/// The numbers of one wearing that a list or matrix shows at once.
struct Headline {
    library::SessionId session;
    library::WearingId wearing;
    bool secondReference = false;  ///< a reference scored against the first one
    bool hasHeartRate = false;     ///< false: nothing to score
    bool refused = false;          ///< alignment refused: the numbers are as recorded
    std::string refusedBecause;
    agreement::SessionSums sums;  ///< aligned where it was; valueOf() of agreement/metric.h reads it
    agreement::SessionSums asRecorded;

    [[nodiscard]] std::optional<double> value(agreement::Metric metric) const {
        return agreement::valueOf(metric, sums);
    }
    [[nodiscard]] std::optional<double> coverage_pct() const {
        if (sums.referenceSeconds <= 0) return std::nullopt;
        return 100 * sums.n / sums.referenceSeconds;
    }
};

/// Headlines of all scored wearings of a project whose outcome is kept and current; a wearing that is not in
/// the list has yet to be worked out (fillOutcomes()). Reads no recording: some milliseconds for 500
/// sessions.
[[nodiscard]] Result<std::vector<Headline>> cachedHeadlines(library::Library& library,
                                                            library::ProjectId project,
                                                            bool excludeReferenceFaults = true);

}  // namespace beatwitness::evaluation
