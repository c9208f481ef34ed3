#include "core/library/import_labels.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <set>

namespace beatwitness::library {
namespace {

using recording::ClockBasis;
using recording::Format;

/// What was done at this hour before counts within this much of it.
constexpr int sameHour_min = 60;
constexpr int day_min = 24 * 60;
/// A habit: so many times, and so great a share of what was done at that hour.
constexpr std::size_t habitTimes = 2;
constexpr double habitShare = 0.6;

int minuteOfDay(RecordingTime time) {
    const auto since = std::chrono::floor<std::chrono::minutes>(time.time_since_epoch()).count();
    return static_cast<int>(((since % day_min) + day_min) % day_min);
}

int weekday(RecordingTime time) {
    const auto day = std::chrono::floor<std::chrono::days>(time.time_since_epoch()).count();
    return static_cast<int>(((day % 7) + 7) % 7);
}

bool atTheSameHour(RecordingTime a, RecordingTime b) {
    const int apart = std::abs(minuteOfDay(a) - minuteOfDay(b));
    return std::min(apart, day_min - apart) <= sameHour_min;
}

bool containsWord(std::string text, std::string_view word) {
    std::ranges::transform(text, text.begin(),
                           [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
    return text.find(word) != std::string::npos;
}

/// The longest of `labels` whose words are all among `words`.
std::string labelAmong(const std::vector<std::string>& words, const std::vector<std::string>& labels) {
    std::string best;
    for (const auto& label : labels)
        if (holdsWords(words, wordsIn(label)) && label.size() > best.size()) best = label;
    return best;
}

/// The label that has all of `words`, where there is only one; empty else.
std::string onlyLabelWith(const std::vector<std::string>& words, const std::vector<std::string>& labels) {
    std::string only;
    for (const auto& label : labels) {
        if (!holdsWords(wordsIn(label), words)) continue;
        if (!only.empty()) return {};
        only = label;
    }
    return only;
}

using Counts = std::map<std::string, std::size_t>;

/// The one that was counted most, where it is a habit.
std::string habitIn(const Counts& counts) {
    std::size_t all = 0;
    for (const auto& [label, count] : counts)
        all += count;
    const auto most = std::ranges::max_element(counts, {}, [](const auto& pair) { return pair.second; });
    if (most == counts.end() || most->second < habitTimes) return {};
    return static_cast<double>(most->second) >= habitShare * static_cast<double>(all) ? most->first
                                                                                      : std::string{};
}

std::vector<std::string> wordsOfLaps(const OfferedFile& file) {
    std::vector<std::string> words;
    for (const auto& lap : file.recording().laps)
        for (auto& word : wordsIn(lap.label))
            words.push_back(std::move(word));
    return words;
}

}  // namespace

LabelBook::LabelBook(const LibraryKnowledge& knowledge, std::span<const OfferedFile> files)
    : knowledge_{knowledge} {
    for (const auto& session : knowledge.sessions)
        for (const auto& wearing : session.wearings) {
            auto& history = devices_[wearing.device];
            history.timesReference += wearing.role == Role::Reference;
            history.timesTest += wearing.role == Role::Test;
            history.last = &wearing;
            for (const auto& use : wearing.uses) {
                const auto& file = knowledge.recordings[use.recording].stored;
                if (!file.serial.empty()) bySerial_[file.serial] = &wearing;
                if (!file.sport.empty() && !session.activity.empty())
                    ++activitiesOfSport_[file.sport][session.activity];
                if (file.device.empty()) continue;
                auto& labels = byFileDevice_[file.device];
                std::erase(labels, wearing.device);
                labels.push_back(wearing.device);
            }
        }
    std::set<std::string> named;
    for (const auto& file : files)
        if (!file.recording().device.empty()) named.insert(device(file, {}).text);
    namedByFiles_.assign(named.begin(), named.end());
}

Guess LabelBook::device(const OfferedFile& file, const std::vector<std::string>& common) const {
    const auto& recording = file.recording();
    if (const auto unit = bySerial_.find(recording.serial);
        !recording.serial.empty() && unit != bySerial_.end())
        return {unit->second->device, "the library knows this unit"};
    const auto words = fileWords(file.read().file);
    const auto called = byFileDevice_.find(recording.device);
    const bool isKnown = called != byFileDevice_.end();
    if (isKnown && called->second.size() == 1)
        return {called->second.front(), "the library knows this device"};
    if (auto label = labelAmong(words, isKnown ? called->second : knowledge_.devices); !label.empty())
        return {label, "the name of the file says so"};
    if (isKnown)
        return {called->second.back(), "the library knows this device by several names; this was the last"};
    if (!recording.device.empty()) return {recording.device, "as the file names it"};
    std::vector<std::string> own;
    for (const auto& word : words)
        if (!isNumber(word) && std::ranges::find(common, word) == common.end()) own.push_back(word);
    if (own.empty()) own = words;
    for (const auto* labels : {&knowledge_.devices, &namedByFiles_})
        if (auto label = onlyLabelWith(own, *labels); !label.empty())
            return {label, "the name of the file speaks of it"};
    return {joined(own), "from the name of the file"};
}

ReferenceEvidence LabelBook::evidence(const OfferedFile& file, const std::string& device) const {
    ReferenceEvidence evidence;
    evidence.hasHeartRate = file.hasHeartRate();
    evidence.named = namedLikeReference(file.read()) || containsWord(device, "strap");
    evidence.beatsOnly = file.recording().format == Format::Rr || file.recording().format == Format::Hrm;
    evidence.blemishes = file.blemishes;
    if (const auto sensor = knowledge_.sensors.find(device); sensor != knowledge_.sensors.end()) {
        evidence.sensorElectric =
            containsWord(sensor->second, "ecg") || containsWord(sensor->second, "electrode");
        evidence.sensorOptical =
            containsWord(sensor->second, "ppg") || containsWord(sensor->second, "optical");
    }
    if (const auto history = devices_.find(device); history != devices_.end()) {
        evidence.timesReference = history->second.timesReference;
        evidence.timesTest = history->second.timesTest;
    }
    return evidence;
}

WearingFacts LabelBook::facts(const OfferedFile& file, const std::string& device) const {
    WearingFacts facts;
    const auto& recording = file.recording();
    const auto unit = bySerial_.find(recording.serial);
    const auto history = devices_.find(device);
    if (!recording.serial.empty() && unit != bySerial_.end() && unit->second->device == device)
        facts = unit->second->facts;
    else if (history != devices_.end())
        facts = history->second.last->facts;
    if (!recording.firmware.empty()) facts.firmware = recording.firmware;
    return facts;
}

Guess LabelBook::wearer() const {
    for (auto session = knowledge_.sessions.rbegin(); session != knowledge_.sessions.rend(); ++session)
        if (!session->wearer.empty()) return {session->wearer, "the wearer of the session added last"};
    return {};
}

Guess LabelBook::activity(const std::vector<const OfferedFile*>& files,
                          const std::optional<Span<RecordingClock>>& when, const std::string& wearer) const {
    for (const auto* file : files) {
        if (auto label = labelAmong(fileWords(file->read().file), knowledge_.activities); !label.empty())
            return {label, "the name of a file says so"};
        if (auto label = labelAmong(wordsOfLaps(*file), knowledge_.activities); !label.empty())
            return {label, "a lap is called so"};
    }
    std::string sport;
    for (const auto* file : files) {
        const auto& said = file->recording().sport;
        if (said.empty()) continue;
        if (sport.empty()) sport = said;
        const auto known = activitiesOfSport_.find(said);
        if (known == activitiesOfSport_.end()) continue;
        const auto most =
            std::ranges::max_element(known->second, {}, [](const auto& pair) { return pair.second; });
        return {most->first, "a file says " + said + ", which was this before"};
    }
    if (!sport.empty()) return {sport, "a file says so"};
    return when ? activityByHabit(*when, wearer) : Guess{};
}

Guess LabelBook::activityByHabit(const Span<RecordingClock>& when, const std::string& wearer) const {
    Counts onTheDay, atTheHour;
    for (const auto& session : knowledge_.sessions) {
        if (!session.span || session.activity.empty() || session.wearer != wearer) continue;
        if (!atTheSameHour(session.span->begin, when.begin)) continue;
        ++atTheHour[session.activity];
        if (weekday(session.span->begin) == weekday(when.begin)) ++onTheDay[session.activity];
    }
    if (auto label = habitIn(onTheDay); !label.empty())
        return {label, "done before on this weekday at this hour"};
    if (auto label = habitIn(atTheHour); !label.empty()) return {label, "done before at this hour"};
    return {};
}

}  // namespace beatwitness::library
