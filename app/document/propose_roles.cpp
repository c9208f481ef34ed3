#include "app/document/propose_roles.h"

#include <algorithm>
#include <filesystem>
#include <ranges>

#include "core/library/reference_guess.h"

namespace beatwitness::app {
namespace {

library::ReferenceEvidence evidenceOf(const Candidate& candidate) {
    library::ReferenceEvidence evidence;
    evidence.hasHeartRate = candidate.hasHeartRate();
    evidence.named = library::namedLikeReference(*candidate.file);
    evidence.blemishes = library::blemishShare(trace::traceOf(candidate.file->recording), candidate.summary);
    return evidence;
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
    std::vector<library::ReferenceEvidence> evidence;
    for (const auto& candidate : candidates)
        evidence.push_back(evidenceOf(candidate));
    const auto guess = library::guessReference(evidence);
    const std::size_t reference = guess.references.empty() ? candidates.size() : guess.references.front();
    for (std::size_t i = 0; i < candidates.size(); ++i) {
        const bool hasOther = !candidates[i].file->recording.channels.empty();
        proposal.roles.push_back(i == reference                 ? Role::Reference
                                 : candidates[i].hasHeartRate() ? Role::Test
                                 : hasOther                     ? Role::Context
                                                                : Role::LeftOut);
    }
    leaveOtherTimesOut(candidates, reference, proposal.roles);
    proposal.clear =
        candidates.size() == 2 && guess.spokenFor == 1 && meetInTime(candidates[0], candidates[1]);
    return proposal;
}

std::string deviceLabel(const recording::RecordingFile& file) {
    if (!file.recording.device.empty()) return file.recording.device;
    return std::filesystem::path(file.file).stem().string();
}

}  // namespace beatwitness::app
