// Cautions, and what this study in particular cannot say.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "core/report/cautions.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/write_up/prose.h"
#include "core/report/write_up/sections.h"

namespace beatwitness::report {
namespace {

using evaluation::Clock;
using evaluation::GroupKey;

constexpr std::size_t fewSessions = 5;  ///< fewer are called very few; source: field guide 2.3

void peopleLimit(const Study& study, std::vector<std::string>& limits) {
    std::set<std::string> wearers;
    for (const auto& session : study.sessions)
        if (session.analysed) wearers.insert(session.row.wearer);
    if (wearers.size() == 1)
        limits.push_back(
            "One person wore the devices. The results speak for this wearer, these units, their firmware and "
            "how they were worn, and not for a model or for other people.");
    else
        limits.push_back(fmt::format(
            "{} people wore the devices; how well they stand for others was not tested.", wearers.size()));
}

void sessionsLimit(const Study& study, std::vector<std::string>& limits) {
    std::vector<std::string> thin;
    for (const auto& group : study.answer.groups)
        if (group.clock == Clock::Aligned && group.sessions < fewSessions)
            thin.push_back(fmt::format("{} in {} ({})", labelOf(group, GroupKey::Device),
                                       activityWords(labelOf(group, GroupKey::Activity)),
                                       counted(static_cast<double>(group.sessions), "session", "sessions")));
    if (!thin.empty()) limits.push_back("Very few sessions stand behind " + listed(thin) + ".");
    if (study.plan.empty())
        limits.push_back(
            "Sessions were chosen by convenience, not drawn at random, and no plan of them is stored.");
}

void clockLimit(const Study& study, std::vector<std::string>& limits) {
    std::vector<std::string> refused;
    for (const auto& session : study.sessions)
        for (const auto& device : session.devices)
            if (device.alignment.refusedBecause)
                refused.push_back(fmt::format("{} in {}", device.device, quoted(session.row.name)));
    if (!refused.empty())
        limits.push_back("The clocks of " + listed(refused) +
                         " could not be aligned; a clock offset may stand in these errors.");
}

void requirementsLimit(const Study& study, std::vector<std::string>& limits) {
    bool before = false, after = false;
    for (const auto& group : study.answer.groups)
        for (const auto& result : group.criteria)
            if (result.beforeData) (*result.beforeData ? before : after) = true;
    if (study.question.criteria.empty())
        limits.push_back("No limit of what is good enough was set, before or after the data was seen.");
    else if (after)
        limits.push_back(
            std::string{before ? "Some requirements were" : "The requirements were"} +
            " set after the first data was there; a limit set in sight of the data is weaker evidence.");
}

void chanceLimit(const Study& study, std::vector<std::string>& limits) {
    std::size_t cells = 0;
    for (const auto& group : study.answer.groups)
        cells += group.clock == Clock::Aligned ? 1 : 0;
    if (cells > 1)
        limits.push_back(
            fmt::format("The tables hold {} pairs of device and activity and many figures of each: among so "
                        "many, some will look striking by chance.",
                        cells));
}

void failedLimit(const Study& study, std::vector<std::string>& limits) {
    if (study.failed.empty()) return;
    const auto failed = static_cast<double>(study.failed.size());
    limits.push_back(
        fmt::format("{} left no recording and so {} no error; read availability and failures beside the "
                    "accuracy.",
                    counted(failed, "attempt", "attempts"), failed == 1 ? "has" : "have"));
}

}  // namespace

std::vector<Section> limitsSections(const Study& study) {
    Section own{"Limits of this study", 1, {}};
    Bullets bullets;
    for (const auto add :
         {peopleLimit, sessionsLimit, clockLimit, requirementsLimit, chanceLimit, failedLimit})
        add(study, bullets.items);
    own.blocks.emplace_back(std::move(bullets));
    Section general{"Cautions", 1, {}};
    Bullets all;
    for (const auto caution : cautions())
        all.items.emplace_back(caution);
    general.blocks.emplace_back(std::move(all));
    return {std::move(own), std::move(general)};
}

}  // namespace beatwitness::report
