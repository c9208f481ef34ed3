#include "core/evaluation/edition.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <set>
#include <sstream>

#include "core/analysis/settings_table.h"
#include "core/foundation/version.h"

namespace beatwitness::evaluation {
namespace {

using library::Edition;
using library::EditionNumber;

constexpr std::array allKeys{GroupKey::Device, GroupKey::Activity, GroupKey::Session, GroupKey::Range,
                             GroupKey::Phase,  GroupKey::Wearer,   GroupKey::Firmware};

/// A label on one line.
std::string oneLine(std::string text) {
    std::ranges::replace(text, '\n', ' ');
    return text;
}

class Numbers {
public:
    void add(const std::string& key, std::optional<double> value) { numbers_[key] = value; }
    void add(const std::string& key, const agreement::PooledFigure& figure) {
        add(key, figure.value);
        add(key + ".lower", figure.ci95 ? std::optional{figure.ci95->lower} : std::nullopt);
        add(key + ".upper", figure.ci95 ? std::optional{figure.ci95->upper} : std::nullopt);
    }
    [[nodiscard]] std::vector<EditionNumber> list() const {
        std::vector<EditionNumber> all;
        for (const auto& [key, value] : numbers_)
            all.push_back({key, value});
        return all;
    }

private:
    std::map<std::string, std::optional<double>> numbers_;
};

std::string groupName(const AgreementGroup& group) {
    std::string name;
    for (const auto& [key, label] : group.by)
        name += fmt::format("{} {} | ", groupKeyName(key), oneLine(label));
    return name + std::string{clockName(group.clock)} + " | ";
}

void addGroup(Numbers& numbers, const AgreementGroup& group) {
    const auto name = groupName(group);
    numbers.add(name + "sessions", static_cast<double>(group.sessions));
    numbers.add(name + "sessions_refused", static_cast<double>(group.sessionsRefused));
    numbers.add(name + "pairs", group.pairs);
    numbers.add(name + "coverage_pct", group.coverage ? std::optional{group.coverage->value} : std::nullopt);
    for (const auto& facts : agreement::metrics()) {
        numbers.add(fmt::format("{}time_weighted.{}", name, facts.key), group.timeWeighted.of(facts.metric));
        numbers.add(fmt::format("{}session_weighted.{}", name, facts.key),
                    group.sessionWeighted.of(facts.metric));
    }
    if (const auto* limits = group.limits.chosen()) {
        numbers.add(name + "limits.lower_bpm", limits->lower.value);
        numbers.add(name + "limits.upper_bpm", limits->upper.value);
    }
}

void addComparison(Numbers& numbers, const DeviceComparison& comparison) {
    const auto name = fmt::format("{} minus {} | {} | {} | ", oneLine(comparison.a), oneLine(comparison.b),
                                  !comparison.allActivities ? oneLine(comparison.activity)
                                  : comparison.bySession    ? "all sessions"
                                                            : "all activities",
                                  clockName(comparison.clock));
    for (const auto& metric : comparison.metrics)
        numbers.add(name + std::string{metric.key},
                    agreement::PooledFigure{metric.difference, metric.ci95, {}});
}

std::string settingsText(const analysis::Settings& settings) {
    std::string text;
    for (const auto& setting : analysis::settingsTable(settings))
        text += fmt::format("{}={}\n", setting.key, setting.value);
    return text;
}

/// A line for each session: what is kept of it under `part`.
std::string inputsText(const std::vector<library::SessionInputs>& inputs,
                       std::string library::SessionInputs::*part) {
    std::string text;
    for (const auto& session : inputs) {
        auto line = session.*part;
        if (line.empty()) continue;
        std::ranges::replace(line, '\n', ';');
        text += fmt::format("{}={}\n", session.session.value, line);
    }
    return text;
}

std::map<std::string, std::string> lines(const std::string& text) {
    std::map<std::string, std::string> found;
    std::istringstream in{text};
    for (std::string line; std::getline(in, line);) {
        const auto at = line.find('=');
        found[line.substr(0, at)] = at == std::string::npos ? "" : line.substr(at + 1);
    }
    return found;
}

/// "2 sessions came, 1 went, 3 have other recordings".
std::string differences(const std::string& then, const std::string& now, std::string_view what) {
    const auto before = lines(then), after = lines(now);
    std::size_t came = 0, went = 0, other = 0;
    for (const auto& [key, value] : after) {
        const auto found = before.find(key);
        came += found == before.end();
        other += found != before.end() && found->second != value;
    }
    for (const auto& [key, value] : before)
        went += !after.contains(key);
    return fmt::format("{}: {} came, {} went, {} changed", what, came, went, other);
}

void compareNumbers(EditionChanges& changes, const Edition& then, const Edition& now) {
    std::map<std::string, NumberChange> all;
    for (const auto& [key, value] : then.numbers) {
        all[key].wasThere = true;
        all[key].then = value;
    }
    for (const auto& [key, value] : now.numbers) {
        all[key].isThere = true;
        all[key].now = value;
    }
    for (auto& [key, change] : all) {
        if (change.wasThere && change.isThere && change.then == change.now) {
            ++changes.unchanged;
            continue;
        }
        change.key = key;
        changes.changes.push_back(std::move(change));
    }
}

}  // namespace

std::string questionText(const Question& question) {
    std::string text;
    for (const auto& device : question.devices)
        text += fmt::format("device={}\n", oneLine(device));
    for (const auto& activity : question.activities)
        text += fmt::format("activity={}\n", oneLine(activity));
    for (const auto& phase : question.phases)
        text += fmt::format("phase={}\n", oneLine(phase));
    for (const auto key : question.by)
        text += fmt::format("by={}\n", groupKeyName(key));
    for (const auto& pair : question.compare)
        text += fmt::format("compare_a={}\ncompare_b={}\n", oneLine(pair.a), oneLine(pair.b));
    text += fmt::format("epoch_s={}\nreference_faults={}\nagainst={}\nreplicates={}\nseed={}\n",
                        question.epoch_s, question.excludeReferenceFaults ? "exclude" : "keep",
                        question.against == Against::Mean ? "mean" : "reference",
                        question.bootstrap.replicates, question.bootstrap.seed);
    if (question.margin_bpm) text += fmt::format("margin_bpm={}\n", *question.margin_bpm);
    return text;
}

Question questionOf(const std::string& text) {
    Question question;
    question.by.clear();
    std::istringstream in{text};
    for (std::string line; std::getline(in, line);) {
        const auto at = line.find('=');
        if (at == std::string::npos) continue;
        const auto word = line.substr(0, at), value = line.substr(at + 1);
        const auto number = [&] {
            double found = 0;
            std::from_chars(value.data(), value.data() + value.size(), found);
            return found;
        };
        if (word == "device") question.devices.push_back(value);
        if (word == "activity") question.activities.push_back(value);
        if (word == "phase") question.phases.push_back(value);
        if (word == "compare_a") question.compare.push_back({value, {}});
        if (word == "compare_b" && !question.compare.empty()) question.compare.back().b = value;
        if (word == "epoch_s") question.epoch_s = std::clamp(static_cast<int>(number()), 1, 60);
        if (word == "reference_faults") question.excludeReferenceFaults = value == "exclude";
        if (word == "against") question.against = value == "mean" ? Against::Mean : Against::Reference;
        if (word == "replicates") question.bootstrap.replicates = static_cast<std::size_t>(number());
        if (word == "seed") question.bootstrap.seed = static_cast<std::uint64_t>(number());
        if (word == "margin_bpm") question.margin_bpm = number();
        const auto key = std::ranges::find(allKeys, value, groupKeyName);
        if (word == "by" && key != allKeys.end()) question.by.push_back(*key);
    }
    return question;
}

std::string criteriaText(const std::vector<agreement::Criterion>& criteria) {
    std::string text;
    for (const auto& c : criteria)
        text += fmt::format("{} {} {} | {} | {} | {}={}\n", agreement::factsOf(c.metric).key,
                            agreement::senseName(c.sense), c.limit, oneLine(c.device), oneLine(c.activity),
                            c.confidence, c.setAt ? c.setAt->count() : 0);
    return text;
}

std::vector<EditionNumber> numbersOf(const ProjectAgreement& answer) {
    Numbers numbers;
    for (const auto& group : answer.groups)
        addGroup(numbers, group);
    for (const auto& comparison : answer.comparisons)
        addComparison(numbers, comparison);
    return numbers.list();
}

Result<Edition> editionNow(library::Library& library, const Question& question,
                           const ProjectAgreement& answer, std::string label) {
    const auto project = library.findProject(question.project);
    if (!project) return project.fault();
    const auto inputs = library.inputsOf(*project);
    if (!inputs) return inputs.fault();
    return Edition{std::move(label),
                   library::now(),
                   std::string{programVersion()},
                   analysis::analysisVersion,
                   questionText(question),
                   criteriaText(question.criteria),
                   settingsText(answer.settings),
                   inputsText(*inputs, &library::SessionInputs::decisions),
                   inputsText(*inputs, &library::SessionInputs::text),
                   numbersOf(answer)};
}

EditionChanges changesSince(const Edition& then, const Edition& now) {
    EditionChanges changes;
    compareNumbers(changes, then, now);
    changes.data = then.data != now.data;
    changes.decisions = then.decisions != now.decisions;
    changes.settings = then.settings != now.settings;
    changes.criteria = then.criteria != now.criteria;
    changes.question = then.question != now.question;
    changes.analysis = then.analysisVersion != now.analysisVersion || then.program != now.program;
    auto& because = changes.because;
    if (changes.question) because.emplace_back("the question is another one");
    if (changes.data) because.push_back(differences(then.data, now.data, "sessions"));
    if (changes.decisions)
        because.push_back(differences(then.decisions, now.decisions, "sessions with flags decided by hand"));
    if (changes.settings) because.push_back(differences(then.settings, now.settings, "thresholds"));
    if (changes.criteria) because.push_back(differences(then.criteria, now.criteria, "criteria"));
    if (changes.analysis)
        because.push_back(fmt::format("{} (analysis {}) then, {} (analysis {}) now", then.program,
                                      then.analysisVersion, now.program, now.analysisVersion));
    if (because.empty())
        because.emplace_back(
            changes.changes.empty()
                ? "nothing changed"
                : "data, decisions, settings and program are as they were, yet numbers differ");
    return changes;
}

}  // namespace beatwitness::evaluation
