#include "core/report/examples.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/evaluation/project_agreement.h"
#include "core/foundation/text.h"
#include "core/report/csv.h"
#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"
#include "core/report/write_up/prose.h"

namespace beatwitness::report {
namespace {

using agreement::Metric;
using agreement::PairedSeconds;
using evaluation::Clock;
using evaluation::SessionEvidence;

constexpr double exampleMargin_s = 60.0;  ///< shown on either side of a flagged stretch

/// What the rule orders by: the smaller the better.
struct Candidate {
    Example example;
    double badness = 0.0;
};

double badnessOf(Metric metric, double value) {
    if (agreement::factsOf(metric).moreIsBetter) return -value;
    return metric == Metric::Bias ? std::abs(value) : value;
}

Example exampleIn(const SessionEvidence& item) {
    Example example;
    example.device = item.device;
    example.session = item.session;
    example.sessionName = item.sessionName;
    example.activity = item.activity;
    example.start = item.start;
    return example;
}

double medianOf(std::vector<double> values) {
    std::ranges::sort(values);
    const std::size_t half = values.size() / 2;
    return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2;
}

/// Ordered from best to worst; ties keep the order of the sessions.
void order(std::vector<Candidate>& candidates) {
    std::ranges::stable_sort(candidates, {}, &Candidate::badness);
}

std::size_t typicalOf(const std::vector<Candidate>& ordered) {
    std::vector<double> values;
    for (const auto& candidate : ordered)
        values.push_back(candidate.badness);
    const double median = medianOf(values);
    const auto nearest = std::ranges::min_element(
        ordered, {}, [&](const Candidate& candidate) { return std::abs(candidate.badness - median); });
    return static_cast<std::size_t>(nearest - ordered.begin());
}

/// The three rules on ordered candidates, none twice: with one or two, fewer rules choose.
std::vector<std::pair<ExampleRule, std::size_t>> chosenFrom(const std::vector<Candidate>& ordered) {
    std::vector<std::pair<ExampleRule, std::size_t>> chosen;
    if (ordered.empty()) return chosen;
    const std::size_t worst = ordered.size() - 1;
    if (ordered.size() >= 3) {
        std::size_t typical = typicalOf(ordered);
        chosen.emplace_back(ExampleRule::Typical, std::clamp<std::size_t>(typical, 1, worst - 1));
    }
    if (ordered.size() >= 2) chosen.emplace_back(ExampleRule::Best, 0);
    chosen.emplace_back(ExampleRule::Worst, worst);
    return chosen;
}

/// How a rule says what it chose from, and by what.
struct RuleWords {
    std::string one, many;            ///< "session of the band", "sessions of the band"
    std::string least, most, median;  ///< "the smallest MAE", …
    bool moreIsBetter = false;
    int decimals = 1;
};

std::string choiceWords(ExampleRule rule, std::size_t among, const RuleWords& words) {
    if (among == 1) return "the only " + words.one;
    const auto all = counted(static_cast<double>(among), words.one, words.many);
    if (rule == ExampleRule::Typical) return fmt::format("of {} the one nearest to {}", all, words.median);
    const bool most = (rule == ExampleRule::Best) == words.moreIsBetter;
    return fmt::format("of {} the one with {}", all, most ? words.most : words.least);
}

std::string valueWords(const Example& example, int decimals) {
    const auto number = decimals == 0 ? countWords(example.value) : figureNumber(example.value, decimals);
    return example.unit.empty() ? number : fmt::format("{} {}", number, example.unit);
}

std::vector<Example> finished(std::vector<Candidate> candidates, const RuleWords& words) {
    order(candidates);
    std::vector<Example> examples;
    for (const auto& [rule, place] : chosenFrom(candidates)) {
        auto example = candidates[place].example;
        example.rule = rule;
        example.among = candidates.size();
        example.because = fmt::format("chosen by rule, {}: {}", choiceWords(rule, example.among, words),
                                      valueWords(example, words.decimals));
        examples.push_back(std::move(example));
    }
    return examples;
}

void closeStretch(std::vector<Candidate>& found, const Example& stretch) {
    if (stretch.value > 0) found.push_back({stretch, stretch.value});
}

/// Stretches of seconds under `kind` in one session.
void addStretches(std::vector<Candidate>& found, const SessionEvidence& item, const PairedSeconds& seconds,
                  flags::FlagKind kind) {
    const auto code = static_cast<std::uint8_t>(1 + static_cast<int>(kind));
    const bool dropout = kind == flags::FlagKind::Dropout;
    std::optional<Example> open;
    for (std::size_t i = 0; i < seconds.size(); ++i) {
        if (seconds.flag[i] != code) continue;
        if (open && seconds.seconds[i] > open->end_s + exampleJoin_s) {
            closeStretch(found, *open);
            open.reset();
        }
        if (!open) {
            open = exampleIn(item);
            open->flag = kind;
            open->unit = dropout ? "s" : "bpm \u00d7 s";
            open->begin_s = seconds.seconds[i];
        }
        open->end_s = seconds.seconds[i];
        if (dropout)
            open->value += seconds.paired[i] == 0 ? 1 : 0;
        else if (seconds.paired[i] != 0)
            open->value += std::abs(seconds.test[i] - seconds.reference[i]);
    }
    if (open) closeStretch(found, *open);
}

/// "spike", "spikes"; "stretch at half rate", "stretches at half rate".
std::pair<std::string, std::string> kindNouns(flags::FlagKind kind) {
    using enum flags::FlagKind;
    switch (kind) {
        case HalfRate:
            return {"stretch at half rate", "stretches at half rate"};
        case DoubleRate:
            return {"stretch at double rate", "stretches at double rate"};
        case Stuck:
        case Damped:
        case Adrift: {
            const auto word = kindWords(flags::flagKindName(kind));
            return {word + " stretch", word + " stretches"};
        }
        default:
            break;
    }
    const auto word = kindWords(flags::flagKindName(kind));
    return {word, word + "s"};
}

RuleWords metricWords(const std::string& device, const agreement::MetricFacts& facts) {
    const auto name = facts.metric == Metric::Bias ? "bias in size" : std::string{facts.name};
    return {"session of the " + device, "sessions of the " + device, "the smallest " + name,
            "the largest " + name,      "the median " + name,        facts.moreIsBetter,
            facts.unit.empty() ? 2 : 1};
}

RuleWords flagWords(const std::string& device, flags::FlagKind kind) {
    const auto [one, many] = kindNouns(kind);
    const bool dropout = kind == flags::FlagKind::Dropout;
    const std::string what = dropout ? "number of seconds without a value" : "sum of absolute errors";
    return {fmt::format("{} of the {}", one, device),
            fmt::format("{} of the {}", many, device),
            "the smallest " + what,
            "the largest " + what,
            "the median " + what,
            false,
            0};
}

}  // namespace

std::string_view exampleRuleName(ExampleRule rule) {
    switch (rule) {
        case ExampleRule::Typical:
            return "typical";
        case ExampleRule::Best:
            return "best";
        case ExampleRule::Worst:
            break;
    }
    return "worst";
}

std::optional<ExampleRule> exampleRuleOf(std::string_view name) {
    const auto found = std::ranges::find(allExampleRules, name, exampleRuleName);
    return found == allExampleRules.end() ? std::nullopt : std::optional{*found};
}

std::vector<Example> sessionExamples(const std::vector<SessionEvidence>& evidence, const std::string& device,
                                     Metric metric, Clock clock) {
    const auto& facts = agreement::factsOf(metric);
    std::vector<Candidate> candidates;
    for (const auto& item : evidence) {
        if (item.secondReference || item.device != device) continue;
        const auto& sums = item.under(clock).summary.sums;
        const auto value = agreement::valueOf(metric, sums);
        if (!value || sums.n < leastExampleSeconds) continue;
        auto example = exampleIn(item);
        const auto& seconds = item.under(clock).seconds->seconds;
        if (!seconds.empty()) example.begin_s = seconds.front(), example.end_s = seconds.back();
        example.value = *value;
        example.unit = std::string{facts.unit};
        candidates.push_back({std::move(example), badnessOf(metric, *value)});
    }
    return finished(std::move(candidates), metricWords(device, facts));
}

std::vector<Example> flagExamples(const std::vector<SessionEvidence>& evidence, const std::string& device,
                                  flags::FlagKind kind, Clock clock) {
    std::vector<Candidate> candidates;
    for (const auto& item : evidence)
        if (!item.secondReference && item.device == device)
            addStretches(candidates, item, *item.under(clock).seconds, kind);
    auto examples = finished(std::move(candidates), flagWords(device, kind));
    std::ranges::stable_sort(examples, [](const Example& a, const Example& b) {
        const auto place = [](ExampleRule rule) {
            return rule == ExampleRule::Worst ? 0 : rule == ExampleRule::Typical ? 1 : 2;
        };
        return place(a.rule) < place(b.rule);
    });
    return examples;
}

Examples examplesOf(const std::vector<SessionEvidence>& evidence, const std::vector<std::string>& devices,
                    Clock clock) {
    Examples all;
    for (const auto& device : devices) {
        std::ranges::move(sessionExamples(evidence, device, Metric::Mae, clock), std::back_inserter(all));
        for (const auto kind : flags::allFlagKinds) {
            const auto found = flagExamples(evidence, device, kind, clock);
            if (!found.empty()) all.push_back(found.front());
        }
    }
    return all;
}

FigureRequest exampleRequest(FigureRequest request, const Example& example) {
    request.kind = FigureKind::Overlay;
    request.session = example.sessionName;
    request.sessionId = library::SessionId{example.session};
    request.devices = {example.device};
    if (example.flag) {
        request.begin_s = std::max(0.0, example.begin_s - exampleMargin_s);
        request.end_s = example.end_s + exampleMargin_s;
    }
    request.caption = sentenceCase(exampleCaption(example));
    return request;
}

Result<FigureRequest> exampleOf(library::Library& library, FigureRequest request, const ExampleAsk& ask,
                                const RunControl& run) {
    const auto fault = [](FaultCode code, std::string message) {
        return Fault{code, std::move(message), {}, {}, {}};
    };
    if (request.devices.size() != 1)
        return fault(FaultCode::WrongUsage, "an example is of one device: --device NAME says which");
    evaluation::Question question;
    question.project = request.project;
    question.devices = request.devices;
    question.activities = request.activities;
    question.excludeReferenceFaults = request.excludeReferenceFaults;
    const auto found = evaluation::projectEvidence(library, question, run);
    if (!found) return found.fault();
    const auto& device = request.devices.front();
    const auto examples = ask.flag ? flagExamples(found->evidence, device, *ask.flag, request.clock)
                                   : sessionExamples(found->evidence, device, ask.metric, request.clock);
    // Where there are too few for a rule of their own, the worst is all there is.
    const auto asked = std::ranges::find(examples, ask.rule, &Example::rule);
    if (asked != examples.end()) return exampleRequest(std::move(request), *asked);
    if (examples.empty())
        return fault(FaultCode::NothingToCompare,
                     fmt::format("the project \"{}\" holds no {} to choose an example from", request.project,
                                 ask.flag ? kindNouns(*ask.flag).first + " of the " + device
                                          : "session of five minutes or more of the " + device));
    return fault(FaultCode::NothingToCompare,
                 fmt::format("there are too few to choose a {} example from; worst is there",
                             exampleRuleName(ask.rule)));
}

std::string exampleCaption(const Example& example) {
    auto text = "session " + quoted(example.sessionName);
    if (!example.activity.empty()) text += " (" + example.activity + ")";
    if (example.start) text += ", " + minuteWords(*example.start) + " UTC";
    return text + fmt::format(", {} to {} of session time; {}.", sessionClockText(example.begin_s),
                              sessionClockText(example.end_s), example.because);
}

std::string examplesCsv(const Examples& examples) {
    std::string csv = "rule,device,session,activity,start,flag,begin_s,end_s,value,unit,among,because\r\n";
    for (const auto& example : examples)
        csv += csvLine({std::string{exampleRuleName(example.rule)}, example.device, example.sessionName,
                        example.activity, example.start ? isoInstant(*example.start) : "",
                        example.flag ? std::string{flags::flagKindName(*example.flag)} : "",
                        fmt::format("{}", example.begin_s), fmt::format("{}", example.end_s),
                        fmt::format("{}", example.value), example.unit, std::to_string(example.among),
                        example.because});
    return csv;
}

}  // namespace beatwitness::report
