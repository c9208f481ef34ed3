#include "core/library/library_knowledge.h"

#include <algorithm>
#include <unordered_map>
#include <utility>

namespace beatwitness::library {
namespace {

using recording::ClockBasis;

bool overlap(const Span<RecordingClock>& a, const Span<RecordingClock>& b) {
    return a.begin <= b.end && b.begin <= a.end;
}

bool isDated(const StoredFile& file) {
    return file.clock != ClockBasis::None;
}

template <class RowId>
std::vector<std::string> labelsOf(const std::vector<Labelled<RowId>>& rows) {
    std::vector<std::string> labels;
    for (const auto& row : rows)
        labels.push_back(row.label);
    return labels;
}

class Gatherer {
public:
    Gatherer(Library& library, std::span<const OfferedFile> offered, const RunControl& run)
        : library_{library}, offered_{offered}, run_{run} {}

    Result<LibraryKnowledge> gather() {
        if (auto fault = takeRecordings()) return std::move(*fault);
        if (auto fault = takeSessions()) return std::move(*fault);
        if (auto fault = takeLabels()) return std::move(*fault);
        if (auto fault = takeTraces()) return std::move(*fault);
        return std::move(knowledge_);
    }

private:
    std::optional<Fault> takeRecordings() {
        auto files = library_.storedFiles();
        if (!files) return files.fault();
        for (auto& file : *files) {
            byId_.emplace(file.id.value, knowledge_.recordings.size());
            knowledge_.recordings.push_back({std::move(file), nullptr});
        }
        return std::nullopt;
    }

    std::optional<Fault> takeSessions() {
        auto rows = library_.allSessions();
        if (!rows) return rows.fault();
        for (const auto& row : *rows)
            knowledge_.sessions.push_back(known(row));
        std::ranges::sort(knowledge_.sessions, {}, &KnownSession::id);
        return std::nullopt;
    }

    KnownSession known(const SessionRow& row) {
        KnownSession session{row.id, row.name, row.activity, row.wearer, {}, {}};
        for (const auto& wearing : row.wearings) {
            KnownWearing known{wearing.role, wearing.deviceLabel, wearing.facts, {}};
            for (const auto& use : wearing.recordings)
                if (const auto found = byId_.find(use.recording.value); found != byId_.end())
                    known.uses.push_back({found->second, use.span});
            session.wearings.push_back(std::move(known));
        }
        session.span = spanOf(session, true);
        if (!session.span) session.span = spanOf(session, false);
        return session;
    }

    [[nodiscard]] std::optional<Span<RecordingClock>> spanOf(const KnownSession& session,
                                                             bool ofReference) const {
        std::optional<Span<RecordingClock>> all;
        for (const auto& wearing : session.wearings) {
            if (ofReference && wearing.role != Role::Reference) continue;
            for (const auto& use : wearing.uses) {
                const auto& file = knowledge_.recordings[use.recording].stored;
                auto span = file.span;
                if (!isDated(file) || !span) continue;
                if (use.span)
                    span = Span<RecordingClock>{std::max(use.span->begin, span->begin),
                                                std::min(use.span->end, span->end)};
                if (span->end < span->begin) continue;
                all = all ? Span<RecordingClock>{std::min(all->begin, span->begin),
                                                 std::max(all->end, span->end)}
                          : *span;
            }
        }
        return all;
    }

    std::optional<Fault> takeLabels() {
        auto wearers = library_.wearers();
        if (!wearers) return wearers.fault();
        auto devices = library_.devices();
        if (!devices) return devices.fault();
        auto activities = library_.activities();
        if (!activities) return activities.fault();
        knowledge_.wearers = labelsOf(*wearers);
        knowledge_.devices = labelsOf(*devices);
        knowledge_.activities = labelsOf(*activities);
        return takeSensors(*devices);
    }

    std::optional<Fault> takeSensors(const std::vector<Labelled<DeviceId>>& devices) {
        for (const auto& device : devices) {
            const auto sensor = library_.sensorOf(device.id);
            if (!sensor) return sensor.fault();
            if (!sensor->empty()) knowledge_.sensors.emplace(device.label, *sensor);
        }
        return std::nullopt;
    }

    [[nodiscard]] bool meetsAnOffer(const StoredFile& file) const {
        return std::ranges::any_of(offered_, [&](const OfferedFile& offer) {
            return offer.hasHeartRate() && offer.read().sha256 != file.sha256 &&
                   (offer.recording().clock == ClockBasis::None) == !isDated(file) &&
                   overlap(*offer.summary.span, *file.span);
        });
    }

    std::optional<Fault> takeTraces() {
        for (std::size_t i = 0; i < knowledge_.recordings.size(); ++i) {
            if (run_.stopRequested()) return cancelled();
            auto& known = knowledge_.recordings[i];
            if (!known.stored.span || !meetsAnOffer(known.stored)) continue;
            const auto file = library_.loadRecording(known.stored.id);
            if (!file) return file.fault();
            known.trace =
                std::make_shared<const trace::Trace<RecordingClock>>(trace::traceOf(file->recording));
            run_.progress(static_cast<double>(i + 1) / static_cast<double>(knowledge_.recordings.size()));
        }
        return std::nullopt;
    }

    Library& library_;
    std::span<const OfferedFile> offered_;
    const RunControl& run_;
    LibraryKnowledge knowledge_;
    std::unordered_map<std::int64_t, std::size_t> byId_;
};

}  // namespace

Result<LibraryKnowledge> knowledgeOf(Library& library, std::span<const OfferedFile> offered,
                                     const RunControl& run) {
    return Gatherer{library, offered, run}.gather();
}

}  // namespace beatwitness::library
