#include "core/report/write_up/prose.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "core/foundation/text.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"

namespace beatwitness::report {

std::string dayWords(Micros sinceEpoch) {
    constexpr std::array months{"January", "February", "March",     "April",   "May",      "June",
                                "July",    "August",   "September", "October", "November", "December"};
    const std::chrono::sys_time<Micros> at{sinceEpoch};
    const std::chrono::year_month_day day{std::chrono::floor<std::chrono::days>(at)};
    return fmt::format("{} {} {}", static_cast<unsigned>(day.day()),
                       months[static_cast<unsigned>(day.month()) - 1], static_cast<int>(day.year()));
}

std::string minuteWords(Micros sinceEpoch) {
    const std::chrono::sys_time<Micros> at{sinceEpoch};
    const auto minutes =
        std::chrono::duration_cast<std::chrono::minutes>(at - std::chrono::floor<std::chrono::days>(at))
            .count();
    return fmt::format("{}, {:02}:{:02}", dayWords(sinceEpoch), minutes / 60, minutes % 60);
}

std::string orNotRecorded(const std::string& text) {
    return text.empty() ? "not recorded" : text;
}

std::string activityWords(const std::string& label) {
    return label.empty() ? "no activity" : label;
}

std::string withInterval(const std::optional<double>& value,
                         const std::optional<agreement::Interval>& interval, int decimals) {
    auto text = figureNumber(value, decimals);
    if (value && interval)
        text += fmt::format(" ({} to {})", figureNumber(interval->lower, decimals),
                            figureNumber(interval->upper, decimals));
    return text;
}

std::string withInterval(const agreement::PooledFigure& figure, int decimals) {
    return withInterval(figure.value, figure.ci95, decimals);
}

std::string withInterval(const agreement::Limit& limit, int decimals) {
    return withInterval(limit.value, limit.ci95, decimals);
}

int decimalsOf(agreement::Metric metric) {
    return agreement::factsOf(metric).unit.empty() ? 2 : 1;
}

std::string spanWords(const trace::SessionSpan& span) {
    return sessionClockText(secondsOf(span.begin)) + " to " + sessionClockText(secondsOf(span.end));
}

std::string plainNumber(double value) {
    return fmt::format("{:g}", value);
}

std::string criterionWords(const agreement::Criterion& criterion) {
    const auto& facts = agreement::factsOf(criterion.metric);
    const auto limit =
        plainNumber(criterion.limit) + (facts.unit.empty() ? "" : " ") + std::string{facts.unit};
    auto text = criterion.sense == agreement::Sense::Within
                    ? fmt::format("{} within \u00b1{}", facts.name, limit)
                    : fmt::format("{} {} {}", facts.name, agreement::senseName(criterion.sense), limit);
    if (!criterion.device.empty()) text += " for the " + criterion.device;
    if (!criterion.activity.empty()) text += " in " + criterion.activity;
    return text + fmt::format(", {} % sure", plainNumber(100 * criterion.confidence));
}

std::string quoted(const std::string& name) {
    return "\u201c" + name + "\u201d";
}

std::string distinctWords(const std::vector<std::string>& words) {
    std::vector<std::string> distinct;
    for (const auto& word : words)
        if (!word.empty() && std::ranges::find(distinct, word) == distinct.end()) distinct.push_back(word);
    return distinct.empty() ? "not recorded" : listed(distinct);
}

std::string asSentence(std::string text) {
    if (text.empty()) return text;
    text = sentenceCase(std::move(text));
    const char last = text.back();
    return last == '.' || last == '!' || last == '?' ? text : text + ".";
}

std::string typeset(std::string text) {
    for (std::size_t at = text.find('-'); at != std::string::npos; at = text.find('-', at + 1)) {
        const bool begins = at == 0 || text[at - 1] == ' ' || text[at - 1] == '(';
        const bool number = at + 1 < text.size() && text[at + 1] >= '0' && text[at + 1] <= '9';
        if (begins && number) text.replace(at, 1, "\u2212");
    }
    return text;
}

void addSentence(std::string& text, std::string sentence) {
    if (sentence.empty()) return;
    if (!text.empty()) text.push_back(' ');
    text.append(asSentence(std::move(sentence)));
}

}  // namespace beatwitness::report
