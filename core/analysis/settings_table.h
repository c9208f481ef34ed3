#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "core/analysis/session_analysis.h"

namespace beatwitness::analysis {

/// One threshold in force, for JSON, methods text and the settings view.
struct SettingRow {
    std::string_view key;  ///< as in JSON, with its unit at the end
    double value = 0.0;
    std::string_view unit;               ///< "s", "bpm", "" for a plain number
    std::string_view reason;             ///< what it decides, and why this value
    std::string_view source;             ///< where the value comes from
    double standard = 0.0;               ///< the value without any change
    double lowest = 0.0, highest = 0.0;  ///< what setThreshold() accepts
    bool settable = true;                ///< false: fixed by the contract
};

/// Every threshold of an analysis, in the order of its steps.
[[nodiscard]] std::vector<SettingRow> settingsTable(const Settings& settings);

/// Changes one threshold by its key, as a project stores it. Faults: WrongUsage (no such key, fixed, out of
/// range), which leave the settings as they were.
[[nodiscard]] Result<Done> setThreshold(Settings& settings, std::string_view key, double value);

/// The thresholds of a project: those that it changed, by key, over the program's. What this program does not
/// know, or would not accept, it leaves as it was.
[[nodiscard]] Settings settingsWith(const std::map<std::string, double>& changed);

/// Those that differ from the program's, "key=value;" one after the other; empty where none does.
[[nodiscard]] std::string changedText(const Settings& settings);
[[nodiscard]] std::size_t changedCount(const Settings& settings);

}  // namespace beatwitness::analysis
