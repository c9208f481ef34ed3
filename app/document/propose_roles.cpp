#include "app/document/propose_roles.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <ranges>

namespace beatwitness::app {
namespace {

/// Two files differ in steadiness when their shares of bad steps differ by more than this.
constexpr double noticeableShare = 0.01;
/// A step of this many bpm or more between neighbouring samples is no heart's doing.
constexpr double jump_bpm = 15.0;

std::string lowered(std::string text) {
    std::ranges::transform(text, text.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return text;
}

bool namedLikeReference(const recording::RecordingFile& file) {
    constexpr std::array hints{"strap", "chest", "ecg", "ekg", "reference", "hrm"};
    const std::string name =
        lowered(std::filesystem::path(file.file).stem().string() + " " + file.recording.device);
    return std::ranges::any_of(hints, [&](const char* hint) { return name.find(hint) != std::string::npos; });
}

/// Share of samples that are missing, follow a gap or jump: 0 for a trace without blemish.
double blemishes(const Candidate& candidate) {
    const auto trace = trace::traceOf(candidate.file->recording);
    if (trace.times.size() < 2) return 1.0;
    const trace::PairingSettings settings;
    const double rows = static_cast<double>(std::max<std::size_t>(candidate.summary.samples, 1));
    double bad = static_cast<double>(candidate.summary.missing);
    const double usual_s = candidate.summary.medianInterval ? candidate.summary.medianInterval->value : 1.0;
    for (std::size_t i = 1; i < trace.times.size(); ++i) {
        const double step_s = toSeconds(trace.times[i] - trace.times[i - 1]).value;
        if (step_s > settings.maxGap.value)
            bad += step_s / std::max(usual_s, 1.0);
        else if (std::abs((trace.rates[i] - trace.rates[i - 1]).value) >= jump_bpm)
            bad += 1.0;
    }
    return bad / rows;
}

/// Index of the reference among `candidates`; their size where none has heart rate.
std::size_t referenceAmong(std::span<const Candidate> candidates, std::size_t& hinted) {
    std::size_t chosen = candidates.size();
    double least = 0.0;
    std::size_t named = candidates.size();
    hinted = 0;
    for (std::size_t i = 0; i < candidates.size(); ++i) {
        if (!candidates[i].hasHeartRate()) continue;
        if (namedLikeReference(*candidates[i].file) && hinted++ == 0) named = i;
        const double bad = blemishes(candidates[i]);
        if (chosen != candidates.size() && bad + noticeableShare >= least) continue;
        chosen = i;
        least = bad;
    }
    return hinted == 1 ? named : chosen;
}

/// Of several tests (a folder of many workouts) those that do not meet the reference, unless none does.
void leaveOtherTimesOut(std::span<const Candidate> candidates, std::size_t reference,
                        std::vector<Role>& roles) {
    const auto isTest = [&](std::size_t i) { return roles[i] == Role::Test; };
    const auto meets = [&](std::size_t i) { return meetInTime(candidates[i], candidates[reference]); };
    const auto all = std::views::iota(std::size_t{0}, roles.size());
    if (std::ranges::none_of(all, [&](std::size_t i) { return isTest(i) && meets(i); })) return;
    for (const std::size_t i : all)
        if (isTest(i) && !meets(i)) roles[i] = Role::LeftOut;
}

}  // namespace

Candidate candidateOf(SharedFile file) {
    auto summary = trace::summarise(file->recording);
    return {std::move(file), std::move(summary)};
}

bool meetInTime(const Candidate& a, const Candidate& b) {
    if (!a.summary.span || !b.summary.span) return false;
    using recording::ClockBasis;
    const auto dated = [](const Candidate& c) { return c.file->recording.clock == ClockBasis::Utc; };
    if (!dated(a) || !dated(b)) return true;
    return a.summary.span->begin <= b.summary.span->end && b.summary.span->begin <= a.summary.span->end;
}

RoleProposal proposeRoles(std::span<const Candidate> candidates) {
    RoleProposal proposal;
    std::size_t hinted = 0;
    const std::size_t reference = referenceAmong(candidates, hinted);
    for (std::size_t i = 0; i < candidates.size(); ++i) {
        const bool hasOther = !candidates[i].file->recording.channels.empty();
        proposal.roles.push_back(i == reference                 ? Role::Reference
                                 : candidates[i].hasHeartRate() ? Role::Test
                                 : hasOther                     ? Role::Context
                                                                : Role::LeftOut);
    }
    leaveOtherTimesOut(candidates, reference, proposal.roles);
    proposal.clear = candidates.size() == 2 && hinted == 1 && meetInTime(candidates[0], candidates[1]);
    return proposal;
}

std::string deviceLabel(const recording::RecordingFile& file) {
    if (!file.recording.device.empty()) return file.recording.device;
    return std::filesystem::path(file.file).stem().string();
}

}  // namespace beatwitness::app
