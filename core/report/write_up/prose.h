#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "core/agreement/pooled_agreement.h"
#include "core/evaluation/project_agreement.h"
#include "core/flags/flag.h"
#include "core/foundation/clocks.h"

/// How a write-up says things. Numbers come as figures print them (figures/figure_words.h).
namespace beatwitness::report {

/// "2 March 2031", UTC.
[[nodiscard]] std::string dayWords(Micros sinceEpoch);
/// "2 March 2031, 09:00", UTC.
[[nodiscard]] std::string minuteWords(Micros sinceEpoch);
/// `text`, or "not recorded" where it is empty.
[[nodiscard]] std::string orNotRecorded(const std::string& text);
/// `label`, or "no activity" where it is empty.
[[nodiscard]] std::string activityWords(const std::string& label);
/// "3.8 (1.9 to 7.5)"; the value alone where there is no interval; an em dash where there is no value.
[[nodiscard]] std::string withInterval(const std::optional<double>& value,
                                       const std::optional<agreement::Interval>& interval, int decimals = 1);
[[nodiscard]] std::string withInterval(const agreement::PooledFigure& figure, int decimals = 1);
[[nodiscard]] std::string withInterval(const agreement::Limit& limit, int decimals = 1);
/// Decimals at which a metric is printed: 1 for bpm and %, 2 for correlations.
[[nodiscard]] int decimalsOf(agreement::Metric metric);
/// "10:10 to 10:55".
[[nodiscard]] std::string spanWords(const trace::SessionSpan& span);
/// "MAPE at most 5 %, 95 % sure".
[[nodiscard]] std::string criterionWords(const agreement::Criterion& criterion);
/// In typographic quotation marks.
[[nodiscard]] std::string quoted(const std::string& name);
/// Distinct, not empty, in the order given; "not recorded" where none is.
[[nodiscard]] std::string distinctWords(const std::vector<std::string>& words);
/// A sentence's first letter in upper case and one full stop at its end.
[[nodiscard]] std::string asSentence(std::string text);
/// Hyphens in front of digits as minus signs, as all numbers of a write-up have them: "(bias -2.6 bpm)".
[[nodiscard]] std::string typeset(std::string text);
/// Adds a sentence behind a blank; nothing where it is empty.
void addSentence(std::string& text, std::string sentence);
/// The number itself where it stands short: "5", "0.45".
[[nodiscard]] std::string plainNumber(double value);

}  // namespace beatwitness::report
