#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/agreement/criterion.h"
#include "core/agreement/session_bootstrap.h"

namespace beatwitness::evaluation {

enum class GroupKey { Device, Activity, Session, Range, Phase, Wearer, Firmware };

/// As the batch contract writes it: `device`, `activity`, …
[[nodiscard]] std::string_view groupKeyName(GroupKey key);

enum class Clock { Aligned, AsRecorded };

/// As the batch contract writes it: `aligned`, `as_recorded`.
[[nodiscard]] std::string_view clockName(Clock clock);

/// Heart-rate ranges go by the reference, 20 bpm wide, lower edge inclusive.
inline constexpr int rangeWidth_bpm = 20;

/// What the size of an error is held against in by-magnitude limits.
enum class Against { Reference, Mean };

/// Two devices by name, or sides of devices (compared_side.h); differences are a minus b.
struct ComparedPair {
    std::string a, b;
};

/// What is asked of a project.
struct Question {
    std::string project;
    std::vector<std::string> devices;     ///< empty: all
    std::vector<std::string> activities;  ///< empty: all
    /// Only seconds inside phases of these labels or kinds; empty: all seconds.
    std::vector<std::string> phases;
    std::vector<GroupKey> by{GroupKey::Device, GroupKey::Activity};
    std::optional<Clock> clock;  ///< pool under this one alone; nothing: under both
    /// Groups whose means, sizes and shares alone are asked: no limits, nothing that takes resampling.
    bool meansOnly = false;
    bool excludeReferenceFaults = true;
    int epoch_s = 1;  ///< 1 to 60
    Against against = Against::Reference;
    agreement::BootstrapSettings bootstrap;
    std::vector<agreement::Criterion> criteria;
    std::vector<ComparedPair> compare;
    std::optional<double> margin_bpm;             ///< for equivalence, set beforehand
    std::optional<agreement::Metric> robustness;  ///< how this metric stands up under all choices
};

}  // namespace beatwitness::evaluation
