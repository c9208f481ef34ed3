#pragma once

#include <QLocale>
#include <QString>
#include <optional>

#include "core/alignment/estimate_alignment.h"
#include "core/analysis/session_analysis.h"
#include "core/foundation/units.h"

/// The one formatter of numbers on screen: tables, readouts, tooltips and axes.
///
/// Decimal marks follow QLocale(); a minus is U+2212; a number that cannot be had is an em dash. Units stand
/// behind a no-break space. Rounding is for the eye only: files get every digit from core.
namespace beatwitness::widgets {

inline constexpr QChar minusSign{0x2212};
[[nodiscard]] QString absentText();

/// "12.4", "−3.1".
[[nodiscard]] QString numberText(std::optional<double> value, int decimals = 1);
/// "+3.4", "−3.1", "0.0".
[[nodiscard]] QString signedText(std::optional<double> value, int decimals = 1);

[[nodiscard]] QString bpmText(std::optional<Bpm> rate, int decimals = 0);          ///< "151 bpm"
[[nodiscard]] QString errorText(std::optional<BpmDelta> error, int decimals = 1);  ///< "−3.1 bpm", "+0.4 bpm"
[[nodiscard]] QString spreadText(std::optional<BpmDelta> spread, int decimals = 1);  ///< "12.4 bpm", unsigned
[[nodiscard]] QString percentText(std::optional<Percent> share, int decimals = 1);   ///< "97.0 %"
[[nodiscard]] QString coefficientText(std::optional<double> value);                  ///< "0.982"
[[nodiscard]] QString countText(std::size_t count);                                  ///< "32,418"
[[nodiscard]] QString secondsText(double seconds, int decimals = 0);                 ///< "12 s"

/// Session time: "04:05", "1:02:03", "−00:12"; to the nearest second.
[[nodiscard]] QString sessionTimeText(double seconds);
/// A length of time in words: "42 s", "48 min", "3 h 05 min".
[[nodiscard]] QString durationText(double seconds);
/// "07:11:46 UTC" of a session second; an em dash where the reference has no date. "07:11:46" with "zone
/// unknown" where its file names no zone.
[[nodiscard]] QString wallClockText(const analysis::SessionAnalysis& session, double seconds);

/// "+3.4 s (3.1 to 3.8)"; without an interval "+3.4 s"; an em dash where none was applied.
[[nodiscard]] QString offsetText(const alignment::Alignment& alignment);
/// "+1.2 ppm (−3 to 5)"; an em dash where none was applied.
[[nodiscard]] QString driftText(const alignment::Alignment& alignment);

/// What a test is called on screen: the device as its file names it, else its file's short name (see
/// short_names.h); numbered where two of the session are called alike.
[[nodiscard]] QString testName(const analysis::SessionAnalysis& session, int test);
/// Likewise for the reference's file ("strap").
[[nodiscard]] QString referenceName(const analysis::SessionAnalysis& session);

/// "dropout".
[[nodiscard]] QString flagName(flags::FlagKind kind);

}  // namespace beatwitness::widgets
