#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/alignment/clock_correction.h"
#include "core/flags/flag.h"

namespace beatwitness::flags {

/// `kept`, `dismissed`, `relabelled`, `added`, `moved`.
[[nodiscard]] std::string_view verdictName(Verdict verdict);
[[nodiscard]] std::optional<Verdict> verdictOf(std::string_view name);

/// One decision, as it is stored.
///
/// Spans are in instants of the flagged trace's own clock (the recording's own times), so that a new
/// alignment keeps it. `span` is the flag as it was decided on; `newSpan` what it became.
struct FlagDecision {
    std::int64_t id = 0;  ///< unlike those of the session's other decisions, from 1
    Verdict verdict = Verdict::Kept;
    FlaggedTrace on = FlaggedTrace::Test;
    FlagKind kind = FlagKind::Dropout;            ///< the algorithm's; for Added the reviewer's
    std::optional<FlagKind> newKind;              ///< Relabelled only
    Span<RecordingClock> span;                    ///< for Added the reviewer's
    std::optional<Span<RecordingClock>> newSpan;  ///< Moved, and Relabelled where edges moved as well
    std::optional<bool>
        excludes;  ///< on the reference: whether its seconds leave the agreement; unset: as it was
    std::string note;
    bool blind = false;  ///< device names and colours were hidden
    int round = 1;       ///< which deciding of the session it belongs to, from 1
    Micros at{0};        ///< when it was made, since 1970

    friend bool operator==(const FlagDecision& a, const FlagDecision& b) {
        const auto same = [](const Span<RecordingClock>& x, const Span<RecordingClock>& y) {
            return x.begin == y.begin && x.end == y.end;
        };
        return a.id == b.id && a.verdict == b.verdict && a.on == b.on && a.kind == b.kind &&
               a.newKind == b.newKind && same(a.span, b.span) &&
               a.newSpan.has_value() == b.newSpan.has_value() &&
               (!a.newSpan || same(*a.newSpan, *b.newSpan)) && a.excludes == b.excludes && a.note == b.note &&
               a.blind == b.blind && a.round == b.round && a.at == b.at;
    }
};

/// How instants of a trace's own clock become session time, and back.
struct TraceClock {
    alignment::ClockCorrection correction;  ///< for the reference: t0, no offset and no drift
    Micros laid{0};                         ///< added to the recording's times before it

    [[nodiscard]] SessionTime toSession(RecordingTime time) const {
        return correction.toSession(TestTime{time.time_since_epoch() + laid});
    }
    [[nodiscard]] RecordingTime toRecording(SessionTime time) const {
        return RecordingTime{correction.toTest(time).time_since_epoch() - laid};
    }
    [[nodiscard]] trace::SessionSpan toSession(const Span<RecordingClock>& span) const {
        return {toSession(span.begin), toSession(span.end)};
    }
    [[nodiscard]] Span<RecordingClock> toRecording(const trace::SessionSpan& span) const {
        return {toRecording(span.begin), toRecording(span.end)};
    }
};

/// The clocks of the two traces that flags of one test stand on.
struct SessionClocks {
    TraceClock test;
    TraceClock reference;
};

struct DecidedFlags {
    std::vector<Flag> flags;             ///< by begin; dismissed ones are gone, those changed have `byHand`
    std::vector<Flag> dismissed;         ///< by begin; as they were found
    std::vector<std::size_t> unmatched;  ///< decisions (by index) that no flag answers any more
    std::size_t changedByHand = 0;       ///< flags dismissed, relabelled, moved or added
    std::size_t kept = 0;                ///< flags that a decision confirms as they are
};

/// Flags as decided.
///
/// Of decisions on the same stretch only those of the latest round count. A decision finds its flag by
/// overlap: the flag on the same trace whose overlap with the decided stretch is the largest share of the two
/// together, at least `leastOverlap` of it; the same kind is preferred, each flag is found once. Decisions
/// that find none are reported in `unmatched` and change nothing, but for Added ones, which always stand, and
/// Moved or Relabelled ones, whose flag was the reviewer's own and stays. O(decisions * flags).
[[nodiscard]] DecidedFlags applyDecisions(std::span<const Flag> flags,
                                          std::span<const FlagDecision> decisions,
                                          const SessionClocks& clocks, double leastOverlap = 0.3);

/// Agreement of two decidings of one session by the second: Cohen's kappa over the classes of each second
/// (the kind of the first flag in precedence on the test, or none), for the whole seconds of [first, last].
///
/// kappa = (p_o - p_e) / (1 - p_e). Source: Cohen, Educ Psychol Meas 1960;20:37-46. Absent where p_e is 1
/// (both see one class only) or the stretch is empty. Neighbouring seconds repeat each other: it says how
/// alike, not how sure.
[[nodiscard]] std::optional<double> kappaBySecond(std::span<const Flag> first, std::span<const Flag> second,
                                                  std::int64_t begin_s, std::int64_t end_s);

}  // namespace beatwitness::flags
