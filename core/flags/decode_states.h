#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "core/flags/flag_settings.h"
#include "core/flags/second_table.h"

namespace beatwitness::flags {

/// What a test device may be doing in one second.
enum class TestState : std::uint8_t {
    Follows,
    Half,
    Double,
    Cadence1,     ///< on the cadence as recorded
    Cadence2,     ///< on twice of it
    CadenceHalf,  ///< on half of it
    Still,        ///< an unmoving value
    Late,         ///< on the reference of some time ago
    Off,          ///< none of these
};

/// Evidence beside the two traces. Rows share the table's seconds.
struct StateEvidence {
    const SecondRow* cadence = nullptr;     ///< per minute, as recorded; nullptr without a channel
    std::span<const std::uint8_t> still;    ///< 1 where the test stands still
    std::span<const std::uint8_t> leftOut;  ///< 1 where another fault (a spike) is known: no evidence
};

/// The likeliest path of a device through its states, one for each second of the table.
///
/// A hidden-state segmentation: each second costs the negative log-likelihood of the test's value under each
/// state (a bounded Gaussian about what the state predicts, flat for Off), weighted by the share of a second
/// that is news; entering a fault and returning cost what a change is worth. The cheapest path is found by
/// dynamic programming (Viterbi, IEEE Trans Inf Theory 1967;13:260-269). Seconds that are not paired cost
/// nothing and repeat the state before. Linear time.
[[nodiscard]] std::vector<TestState> decodeStates(const SecondTable& table, const StateEvidence& evidence,
                                                  const Settings& settings);

}  // namespace beatwitness::flags
