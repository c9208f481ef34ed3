#pragma once

#include <string_view>
#include <vector>

#include "core/analysis/session_analysis.h"

namespace beatwitness::analysis {

/// One threshold: its words, what it may be, and how it is read and set.
struct Threshold {
    std::string_view key;  ///< as in JSON
    std::string_view unit;
    double lowest = 0.0;
    double highest = 0.0;
    std::string_view reason;
    std::string_view source;
    double (*get)(const Settings&) = nullptr;
    void (*set)(Settings&, double) = nullptr;  ///< nullptr: fixed by the contract
};

/// `Access` is a lambda without captures from settings to the number: [](auto& s) -> auto& { return s.…; }.
template <class Access>
[[nodiscard]] Threshold threshold(std::string_view key, std::string_view unit, double lowest, double highest,
                                  std::string_view reason, std::string_view source, Access) {
    return {key,
            unit,
            lowest,
            highest,
            reason,
            source,
            [](const Settings& settings) { return static_cast<double>(Access{}(settings)); },
            [](Settings& settings, double value) {
                auto& number = Access{}(settings);
                number = static_cast<std::remove_reference_t<decltype(number)>>(value);
            }};
}

/// Thresholds of the flags, in the order of their detectors.
[[nodiscard]] std::vector<Threshold> flagThresholds();

}  // namespace beatwitness::analysis
