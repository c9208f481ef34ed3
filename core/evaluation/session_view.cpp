#include "core/evaluation/session_view.h"

#include <algorithm>

#include "core/evaluation/outcomes.h"

namespace beatwitness::evaluation {
namespace {

bool asked(const library::WearingRow& wearing, const std::vector<std::string>& devices) {
    return wearing.role == library::Role::Test && !wearing.recordings.empty() &&
           (devices.empty() || std::ranges::find(devices, wearing.deviceLabel) != devices.end());
}

Fault nothingToShow(const library::SessionRow& row, const std::string& missing) {
    return {FaultCode::NothingToCompare,
            "the session \"" + row.name + "\" holds no " + missing + ", so there is nothing to compare",
            {},
            {},
            {}};
}

}  // namespace

Result<SessionView> sessionView(library::Library& library, const library::SessionRow& row,
                                const std::vector<std::string>& devices, bool excludeReferenceFaults,
                                const analysis::Settings& settings, const RunControl& run) {
    const auto* scoring = scoringReference(row);
    if (scoring == nullptr) return nothingToShow(row, "recorded reference");
    auto reference = library.loadReference(row);
    if (!reference) return reference.fault();
    SessionView view{row, {}, scoring->deviceLabel, {}, {}, {}};
    std::vector<recording::RecordingFile> tests, contexts;
    analysis::Request request;
    request.excludeReferenceFaults = excludeReferenceFaults;
    std::vector<library::WearingId> wearings;
    const auto review = library.review(row.id);
    if (!review) return review.fault();
    for (const auto& wearing : row.wearings) {
        const bool isContext = wearing.role == library::Role::Context && !wearing.recordings.empty();
        if (!isContext && !asked(wearing, devices)) continue;
        auto file = library.loadWearing(wearing);
        if (!file) return file.fault();
        if (isContext) {
            contexts.push_back(std::move(*file));
        } else if (!trace::traceOf(file->recording).empty()) {
            tests.push_back(std::move(*file));
            view.devices.push_back(wearing.deviceLabel);
            wearings.push_back(wearing.id);
            request.clocks.push_back(clockRequestOf(wearing.clock));
        }
    }
    if (tests.empty()) return nothingToShow(row, "recording of a test device with a heart rate");
    request.decisions = decisionsOf(*review, scoring->id, wearings);
    auto session = analysis::analyseSession(std::move(*reference), std::move(tests), std::move(contexts),
                                            request, settings, run);
    if (!session) return session.fault();
    view.session = std::move(*session);
    const auto phases = library.phases(row.id);
    if (!phases) return phases.fault();
    view.phases = *phases;
    const auto pins = library.pins(row.id);
    if (!pins) return pins.fault();
    view.pins = *pins;
    return view;
}

}  // namespace beatwitness::evaluation
