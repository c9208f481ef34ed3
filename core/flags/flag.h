#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/foundation/units.h"
#include "core/trace/pairs.h"

namespace beatwitness::flags {

/// Ways in which a trace cannot be trusted, in the order of precedence: where several explain the same
/// seconds the first stands. Definitions in the batch contract.
enum class FlagKind {
    Dropout,      ///< no samples; magnitude in s
    Spike,        ///< a jump no heart makes, or a train of them; magnitude is the jump in bpm
    HalfRate,     ///< about half of the other trace; magnitude is the mean ratio
    DoubleRate,   ///< about twice the other trace; magnitude is the mean ratio
    CadenceLock,  ///< follows steps or strokes; magnitude is the multiple of the cadence as recorded
    Stuck,        ///< an unmoving value while the other trace moves; magnitude in s
    MissedRise,   ///< effort raised the reference and the device never followed; share that was followed
    Lag,          ///< follows the reference late; magnitude in s
    Damped,       ///< follows less than 80 % of a change; share that was followed
    Adrift,       ///< far off, and none of the others explains it; mean absolute error in bpm
};

/// Every kind, in the order of precedence.
inline constexpr std::array allFlagKinds{
    FlagKind::Dropout, FlagKind::Spike,      FlagKind::HalfRate, FlagKind::DoubleRate, FlagKind::CadenceLock,
    FlagKind::Stuck,   FlagKind::MissedRise, FlagKind::Lag,      FlagKind::Damped,     FlagKind::Adrift};

/// As the batch contract writes it: `dropout`, `half-rate`, …
[[nodiscard]] std::string_view flagKindName(FlagKind kind);
/// The kind of that name, where there is one.
[[nodiscard]] std::optional<FlagKind> flagKindOf(std::string_view name);
/// Unit of a kind's magnitude as the batch contract writes it: `s`, `bpm`, `ratio` or `multiple`.
[[nodiscard]] std::string_view magnitudeUnit(FlagKind kind);

enum class FlaggedTrace { Test, Reference };

/// What a reviewer made of a flag.
enum class Verdict {
    Kept,        ///< it is right
    Dismissed,   ///< it is none
    Relabelled,  ///< it is one of another kind
    Added,       ///< none was there
    Moved,       ///< it is right, with other edges
};

/// A stretch of session time in which a trace cannot be trusted.
struct Flag {
    FlagKind kind = FlagKind::Dropout;
    FlaggedTrace on = FlaggedTrace::Test;
    trace::SessionSpan span;            ///< the seconds that are wrong because of it
    double magnitude = 0.0;             ///< in `unit`
    std::string_view unit = "s";        ///< magnitudeUnit(kind)
    bool measured = true;               ///< false: decided by hand, and `magnitude` cannot be had
    std::optional<BpmDelta> meanError;  ///< over the paired seconds of the span, where there are any
    double confidence = 1.0;            ///< 0 to 1
    bool excluded = false;              ///< its seconds leave the agreement (reference faults only)
    bool byHand = false;                ///< made or changed by a decision
    std::string because;                ///< one sentence with its numbers
    std::int64_t decision = 0;          ///< FlagDecision::id that it answers; 0: undecided
    std::optional<Verdict> verdict;     ///< of that decision
    std::string note;                   ///< likewise

    [[nodiscard]] bool covers(double second_s) const {
        return secondsOf(span.begin) <= second_s && second_s <= secondsOf(span.end);
    }
};

}  // namespace beatwitness::flags
