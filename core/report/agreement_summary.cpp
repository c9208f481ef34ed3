#include "core/report/agreement_summary.h"

#include <fmt/format.h>

#include <cmath>

namespace beatwitness::report {
namespace {

using agreement::PooledFigure;
using evaluation::AgreementGroup;
using evaluation::GroupKey;

std::string subject(const AgreementGroup& group) {
    std::string device = "The device", activity;
    for (const auto& [key, label] : group.by) {
        if (key == GroupKey::Device && !label.empty()) device = label;
        if (key == GroupKey::Activity && !label.empty()) activity = fmt::format(" in {}", label);
    }
    return fmt::format("{}{}{}", device, activity,
                       group.clock == evaluation::Clock::AsRecorded ? ", clocks as recorded," : "");
}

std::string interval(const PooledFigure& figure, int digits) {
    if (!figure.ci95) return "";
    return fmt::format(" (95 % interval {:.{}f} to {:.{}f})", figure.ci95->lower, digits, figure.ci95->upper,
                       digits);
}

std::string sessionsText(std::size_t sessions) {
    return sessions == 1 ? "1 session" : fmt::format("{} sessions", sessions);
}

/// "1.2 bpm"; a size that would round to nothing is said to be small instead.
std::string sizeText(double size) {
    return size < 0.05 ? "less than 0.1 bpm" : fmt::format("{:.1f} bpm", size);
}

/// A direction is claimed only where the interval of the bias leaves no other.
std::string direction(const PooledFigure& bias) {
    const double value = *bias.value;
    const auto size = sizeText(std::abs(value));
    if (value == 0 && !bias.ci95) return "on average it read neither low nor high";
    if (!bias.ci95)
        return fmt::format(
            "on average it read {} {}, which without an interval says nothing of the next session", size,
            value < 0 ? "low" : "high");
    if (bias.ci95->upper < 0) return fmt::format("on average it reads {} low", size);
    if (bias.ci95->lower > 0) return fmt::format("on average it reads {} high", size);
    return fmt::format("whether it reads low or high cannot be told (bias {:+.1f} bpm)", value);
}

std::string errorSentence(const AgreementGroup& group) {
    const auto& figures = group.timeWeighted;
    return fmt::format("{} was off by {:.1f} bpm on average over {}{}; {}.", subject(group),
                       *figures.mae.value, sessionsText(group.sessions), interval(figures.mae, 1),
                       direction(figures.bias));
}

std::string shareSentence(const AgreementGroup& group) {
    auto text = fmt::format("It was within 5 bpm in {:.1f} % of the paired time{}",
                            *group.timeWeighted.within5Bpm.value, interval(group.timeWeighted.within5Bpm, 1));
    if (group.coverage)
        text += fmt::format(" and measured in {:.1f} % of the time in which the reference did",
                            group.coverage->value);
    if (group.sessionsRefused > 0)
        text += fmt::format("; the clocks of {} could not be aligned and enter as recorded",
                            sessionsText(group.sessionsRefused));
    return text + ".";
}

}  // namespace

std::vector<std::string> agreementSummary(const AgreementGroup& group) {
    if (!group.timeWeighted.mae.value || !group.timeWeighted.bias.value)
        return {fmt::format("{} has no second in common with the reference.", subject(group))};
    std::vector<std::string> sentences{errorSentence(group), shareSentence(group)};
    for (const auto& result : group.criteria) {
        const char* word = result.verdict == agreement::Verdict::Meets ? "It meets the criterion"
                           : result.verdict == agreement::Verdict::DoesNotMeet
                               ? "It does not meet the criterion"
                               : "It cannot be told yet whether "
                                 "it meets the criterion";
        sentences.push_back(fmt::format("{}: {}.", word, result.because));
    }
    return sentences;
}

}  // namespace beatwitness::report
