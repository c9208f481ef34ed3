#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/agreement/metric.h"
#include "core/evaluation/session_evidence.h"
#include "core/flags/flag.h"
#include "core/report/figures/figure_request.h"

/// Examples that a rule chooses, so that nobody can choose the one that suits.
namespace beatwitness::report {

enum class ExampleRule { Typical, Best, Worst };
inline constexpr std::array allExampleRules{ExampleRule::Typical, ExampleRule::Best, ExampleRule::Worst};
/// `typical`, `best`, `worst`.
[[nodiscard]] std::string_view exampleRuleName(ExampleRule rule);
[[nodiscard]] std::optional<ExampleRule> exampleRuleOf(std::string_view name);

/// Sessions with fewer paired seconds are no examples of a device's error.
inline constexpr double leastExampleSeconds = 300.0;
/// Flagged seconds of one kind at most so far apart are one stretch. Source: batch contract.
inline constexpr std::int32_t exampleJoin_s = 5;

/// A session of one device, or a flagged stretch in it.
struct Example {
    ExampleRule rule = ExampleRule::Typical;
    std::string device;
    std::int64_t session = 0;
    std::string sessionName, activity;
    std::optional<Micros> start;          ///< of the session, since 1970
    std::optional<flags::FlagKind> flag;  ///< nothing: the whole session
    double begin_s = 0.0, end_s = 0.0;    ///< session time
    double value = 0.0;                   ///< of the metric; of a flag its weight
    std::string unit;
    std::size_t among = 0;  ///< sessions, or stretches of the kind, that the rule chose from
    std::string because;    ///< the rule in one sentence with its numbers
};

/// The typical, best and worst session of one device by `metric`, session values under `clock`: best is the
/// least error (of bias the smallest size) or the largest share or correlation, typical the one nearest to
/// the median of all that is neither. Ties go to the earlier session. Empty without a session of
/// leastExampleSeconds pairs; one session is the worst alone, two are best and worst.
[[nodiscard]] std::vector<Example> sessionExamples(const std::vector<evaluation::SessionEvidence>& evidence,
                                                   const std::string& device, agreement::Metric metric,
                                                   evaluation::Clock clock);

/// The stretches of one device under flags of `kind`, the worst first, then the typical (median weight) and
/// the best where there are two and three of them. A stretch weighs the sum of its absolute errors in bpm
/// times seconds; a dropout, which has none, weighs its seconds without a value.
[[nodiscard]] std::vector<Example> flagExamples(const std::vector<evaluation::SessionEvidence>& evidence,
                                                const std::string& device, flags::FlagKind kind,
                                                evaluation::Clock clock);

/// All examples of a project's devices, for the write-up: sessions by MAE, then of every kind of flag the
/// worst.
using Examples = std::vector<Example>;
[[nodiscard]] Examples examplesOf(const std::vector<evaluation::SessionEvidence>& evidence,
                                  const std::vector<std::string>& devices, evaluation::Clock clock);

/// The overlay that shows an example: its device alone, of a flagged stretch a minute on either side; the
/// rule and the times are the caption. Project and clock come with `request`.
[[nodiscard]] FigureRequest exampleRequest(FigureRequest request, const Example& example);
/// Which example a figure is asked to show.
struct ExampleAsk {
    ExampleRule rule = ExampleRule::Typical;
    agreement::Metric metric = agreement::Metric::Mae;
    std::optional<flags::FlagKind> flag;  ///< a stretch of this kind, by its weight, in place of a session
};
/// The overlay of the example that the rule chooses among the sessions of `request`, which names one device.
/// Faults: WrongUsage (not one device), NothingToCompare (nothing to choose from), those of
/// evaluation::projectEvidence().
[[nodiscard]] Result<FigureRequest> exampleOf(library::Library& library, FigureRequest request,
                                              const ExampleAsk& ask, const RunControl& run = {});

/// "session “north ridge” (hill walk), 2 March 2031, 09:00 UTC, 10:10 to 10:55 of session time; chosen by
/// rule, …".
[[nodiscard]] std::string exampleCaption(const Example& example);

/// A row an example, RFC 4180: rule, device, session, activity, start, flag, begin and end in session time,
/// value.
[[nodiscard]] std::string examplesCsv(const Examples& examples);

}  // namespace beatwitness::report
