#include "core/evaluation/compared_side.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <chrono>
#include <set>

namespace beatwitness::evaluation {
namespace {

constexpr std::string_view firmwareWord = " firmware ";
constexpr std::string_view yearWord = " in ";

std::optional<int> wholeNumber(std::string_view text) {
    int number = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return number;
}

/// Every reading of the name, the plainest first.
std::vector<ComparedSide> readingsOf(std::string_view name) {
    std::vector<ComparedSide> readings{{std::string{name}, {}, {}}};
    for (auto at = name.find(firmwareWord); at != std::string_view::npos;
         at = name.find(firmwareWord, at + 1))
        readings.push_back(
            {std::string{name.substr(0, at)}, std::string{name.substr(at + firmwareWord.size())}, {}});
    const auto at = name.rfind(yearWord);
    if (at == std::string_view::npos) return readings;
    if (const auto year = wholeNumber(name.substr(at + yearWord.size())))
        readings.push_back({std::string{name.substr(0, at)}, {}, year});
    return readings;
}

/// The next run of digits, or of anything else.
std::string_view nextPart(std::string_view& rest) {
    const auto isDigit = [](char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; };
    const bool digits = isDigit(rest.front());
    std::size_t length = 1;
    while (length < rest.size() && isDigit(rest[length]) == digits)
        ++length;
    const auto part = rest.substr(0, length);
    rest.remove_prefix(length);
    return part;
}

}  // namespace

bool ComparedSide::holds(const SessionEvidence& evidence) const {
    if (evidence.secondReference || evidence.device != device) return false;
    if (!firmware.empty() && evidence.firmware != firmware) return false;
    return !year || (evidence.start && yearOf(*evidence.start) == *year);
}

std::string sideName(const ComparedSide& side) {
    std::string name = side.device;
    if (!side.firmware.empty()) name += std::string{firmwareWord} + side.firmware;
    if (side.year) name += fmt::format("{}{}", yearWord, *side.year);
    return name;
}

std::optional<ComparedSide> sideOf(std::string_view name, const std::vector<SessionEvidence>& evidence) {
    for (auto& side : readingsOf(name))
        if (std::ranges::any_of(evidence, [&](const auto& one) { return side.holds(one); }))
            return std::move(side);
    return std::nullopt;
}

std::vector<std::string> devicesNamedBy(std::string_view name) {
    std::vector<std::string> devices;
    for (auto& side : readingsOf(name))
        devices.push_back(std::move(side.device));
    return devices;
}

std::vector<ComparedSide> sidesIn(const std::vector<SessionEvidence>& evidence) {
    std::set<std::string> devices;
    for (const auto& one : evidence)
        if (!one.secondReference) devices.insert(one.device);
    std::vector<ComparedSide> sides;
    for (const auto& device : devices) {
        sides.push_back({device, {}, {}});
        std::vector<std::string> versions;
        std::set<int> years;
        for (const auto& one : evidence) {
            if (!sides.back().holds(one)) continue;
            if (!one.firmware.empty()) versions.push_back(one.firmware);
            if (one.start) years.insert(yearOf(*one.start));
        }
        std::ranges::sort(versions, versionBefore);
        versions.erase(std::ranges::unique(versions).begin(), versions.end());
        if (versions.size() > 1)
            for (auto& version : versions)
                sides.push_back({device, std::move(version), {}});
        if (years.size() > 1)
            for (const int year : years)
                sides.push_back({device, {}, year});
    }
    return sides;
}

std::vector<SessionEvidence> evidenceBySide(const std::vector<SessionEvidence>& evidence,
                                            const std::vector<ComparedSide>& sides) {
    std::vector<SessionEvidence> found;
    for (const auto& side : sides)
        for (const auto& one : evidence)
            if (side.holds(one)) {
                found.push_back(one);
                found.back().device = sideName(side);
            }
    return found;
}

int yearOf(Micros instant) {
    const std::chrono::sys_time<Micros> at{instant};
    return static_cast<int>(std::chrono::year_month_day{std::chrono::floor<std::chrono::days>(at)}.year());
}

bool versionBefore(std::string_view a, std::string_view b) {
    auto restA = a, restB = b;
    while (!restA.empty() && !restB.empty()) {
        const auto partA = nextPart(restA), partB = nextPart(restB);
        if (partA == partB) continue;
        const auto numberA = wholeNumber(partA), numberB = wholeNumber(partB);
        if (numberA && numberB && *numberA != *numberB) return *numberA < *numberB;
        return partA < partB;
    }
    return restA.empty() && !restB.empty();
}

}  // namespace beatwitness::evaluation
