#include "tests/library/import_fixture.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <functional>

namespace beatwitness::tests {
namespace {

/// 0 to 1, the same on every machine.
double hashed(std::uint64_t a, std::uint64_t b) {
    std::uint64_t x = a * 0x9E3779B97F4A7C15u + b * 0xBF58476D1CE4E5B9u + 0x94D049BB133111EBu;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
    return static_cast<double>((x ^ (x >> 31)) >> 11) / 9007199254740992.0;
}

std::string digestOf(const FileMaker& maker) {
    std::string text = maker.name + maker.device;
    for (const auto& [begin, seconds] : maker.stretches)
        text += std::to_string(begin) + "/" + std::to_string(seconds);
    return std::to_string(std::hash<std::string>{}(text));
}

std::string nameOf(const library::OfferedFile& file) {
    return std::filesystem::path(file.read().file).filename().string();
}

}  // namespace

double heartAt(std::int64_t second, std::uint64_t heart) {
    const auto t = static_cast<double>(second % 86400);
    return std::round(125 + 30 * std::sin(t / 150.0 + static_cast<double>(heart)) + 8 * std::sin(t / 17.0));
}

library::OfferedFile FileMaker::offer() const {
    library::ReadFile file;
    file.read.file = name;
    file.read.sha256 = digestOf(*this);
    auto& recording = file.read.recording;
    recording.device = device;
    recording.serial = serial;
    recording.firmware = firmware;
    recording.sport = sport;
    recording.clock = clock;
    recording::Channel channel;
    for (const auto& [begin, seconds] : stretches)
        for (int i = 0; i < seconds; ++i) {
            const auto second = begin + i;
            channel.times.emplace_back(Micros{second * 1'000'000 + late_us});
            const double error =
                noise == 0 ? 0.0 : std::round(8 * hashed(noise, static_cast<std::uint64_t>(second)) - 4);
            channel.values.push_back(heartAt(second, heart) + error);
        }
    recording.rows = channel.times.size();
    if (!channel.times.empty()) recording.channels.push_back(std::move(channel));
    return library::offered(std::make_shared<const library::ReadFile>(std::move(file)));
}

library::OfferedFile fileOf(std::string_view name, std::int64_t begin_s, int seconds,
                            std::string_view device) {
    FileMaker maker{.name = std::string{name}, .device = std::string{device}};
    maker.noise = std::hash<std::string_view>{}(name) | 1u;
    return maker.stretch(begin_s, seconds).offer();
}

std::vector<std::vector<std::string>> filesBySession(const library::ImportPlan& plan,
                                                     const std::vector<library::OfferedFile>& files) {
    std::vector<std::vector<std::string>> all;
    for (const auto& session : plan.sessions) {
        std::vector<std::string> names;
        for (const auto& wearing : session.wearings)
            for (const auto& use : wearing.recordings)
                names.push_back(nameOf(files[use.file]));
        std::ranges::sort(names);
        all.push_back(std::move(names));
    }
    return all;
}

library::LibraryKnowledge knowledgeAfter(const library::ImportPlan& plan,
                                         const std::vector<library::OfferedFile>& files) {
    library::LibraryKnowledge knowledge;
    for (const auto& file : files) {
        const auto& recording = file.recording();
        library::KnownRecording known;
        known.stored = {library::RecordingId{static_cast<std::int64_t>(knowledge.recordings.size()) + 1},
                        file.read().sha256,
                        file.read().file,
                        recording.clock,
                        recording.device,
                        recording.serial,
                        recording.firmware,
                        recording.sport,
                        file.summary.span};
        known.trace = file.trace;
        knowledge.recordings.push_back(std::move(known));
    }
    for (const auto& session : plan.sessions) {
        library::KnownSession known{
            library::SessionId{static_cast<std::int64_t>(knowledge.sessions.size()) + 1},
            session.name,
            session.activity,
            session.wearer,
            {},
            {}};
        for (const auto& wearing : session.wearings) {
            library::KnownWearing worn{wearing.role, wearing.device, wearing.facts, {}};
            for (const auto& use : wearing.recordings) {
                worn.uses.push_back({use.file, use.span});
                if (!known.span) known.span = use.span ? use.span : files[use.file].summary.span;
            }
            if (std::ranges::find(knowledge.devices, wearing.device) == knowledge.devices.end())
                knowledge.devices.push_back(wearing.device);
            known.wearings.push_back(std::move(worn));
        }
        if (!session.activity.empty()) knowledge.activities.push_back(session.activity);
        knowledge.sessions.push_back(std::move(known));
    }
    return knowledge;
}

}  // namespace beatwitness::tests
