#include "core/library/outcome_store.h"

#include <fmt/format.h>

#include <array>
#include <bit>
#include <cstring>

#include "core/library/review_store.h"

namespace beatwitness::library {
namespace {

static_assert(std::endian::native == std::endian::little, "blobs hold numbers as this machine does");

using analysis::ClockSummary;
using analysis::WearingOutcome;
using flags::Flag;

// A clock's blob: doubles in the order of this list. A flag: kind, trace, and 1 for excluded with 2 for by
// hand, in a byte each, then
// begin and end in seconds as doubles.
constexpr std::size_t numbersOfClock = 22, bytesOfFlag = 3 + 2 * sizeof(double);

template <class Summary>
auto numbersOf(Summary& summary) {
    auto& s = summary.sums;
    auto& p = summary.spans;
    return std::array{&s.n,           &s.referenceSeconds,
                      &s.error,       &s.absolute,
                      &s.squared,     &s.relative_pct,
                      &s.reference,   &s.test,
                      &s.reference2,  &s.test2,
                      &s.product,     &s.within3,
                      &s.within5,     &s.within10,
                      &s.within5Pct,  &s.within10Pct,
                      &s.within5Or10, &s.half,
                      &p.own,         &p.late,
                      &p.early,       &summary.independent};
}

void append(std::vector<std::byte>& bytes, const void* what, std::size_t size) {
    const auto* first = static_cast<const std::byte*>(what);
    bytes.insert(bytes.end(), first, first + size);
}

std::vector<std::byte> blobOf(const ClockSummary& summary) {
    std::vector<std::byte> bytes;
    for (const auto* number : numbersOf(summary))
        append(bytes, number, sizeof(double));
    return bytes;
}

/// Nothing where the blob has another size: a program of another layout wrote it.
std::optional<ClockSummary> summaryOf(std::span<const std::byte> blob) {
    if (blob.size() != numbersOfClock * sizeof(double)) return std::nullopt;
    ClockSummary summary;
    std::size_t at = 0;
    for (auto* number : numbersOf(summary)) {
        std::memcpy(number, blob.data() + at, sizeof(double));
        at += sizeof(double);
    }
    return summary;
}

std::vector<std::byte> blobOf(const std::vector<Flag>& flags) {
    std::vector<std::byte> bytes;
    for (const auto& flag : flags) {
        const std::array<std::uint8_t, 3> codes{
            static_cast<std::uint8_t>(flag.kind), static_cast<std::uint8_t>(flag.on),
            static_cast<std::uint8_t>((flag.excluded ? 1 : 0) | (flag.byHand ? 2 : 0))};
        const std::array<double, 2> span{secondsOf(flag.span.begin), secondsOf(flag.span.end)};
        append(bytes, codes.data(), codes.size());
        append(bytes, span.data(), sizeof span);
    }
    return bytes;
}

std::vector<Flag> flagsOf(std::span<const std::byte> blob) {
    std::vector<Flag> flags;
    for (; blob.size() >= bytesOfFlag; blob = blob.subspan(bytesOfFlag)) {
        Flag flag;
        flag.kind = static_cast<flags::FlagKind>(std::to_integer<int>(blob[0]));
        flag.on = static_cast<flags::FlaggedTrace>(std::to_integer<int>(blob[1]));
        flag.excluded = (blob[2] & std::byte{1}) != std::byte{0};
        flag.byHand = (blob[2] & std::byte{2}) != std::byte{0};
        std::array<double, 2> span{};
        std::memcpy(span.data(), blob.data() + 3, sizeof span);
        flag.span = {sessionTime(span[0]), sessionTime(span[1])};
        flags.push_back(std::move(flag));
    }
    return flags;
}

std::string_view faultsWord(bool exclude) {
    return exclude ? "exclude" : "keep";
}

}  // namespace

std::vector<SessionInputs> sessionInputs(Database& database, std::optional<ProjectId> project) {
    std::vector<SessionInputs> inputs;
    auto rows = database.statement(
        "SELECT s.id, s.added_at_us, w.id, w.role, u.begin_us, u.end_us, r.sha256, r.read_by, r.row_count, "
        "w.clock, w.clock_offset_s, w.clock_drift_ppm, s.counted_begin_us, s.counted_end_us "
        "FROM session s JOIN wearing w ON w.session_id = s.id LEFT JOIN wearing_recording u ON u.wearing_id "
        "= "
        "w.id LEFT JOIN recording r ON r.id = u.recording_id WHERE s.deleted_at_us IS NULL AND "
        "w.deleted_at_us IS NULL AND (?1 IS NULL OR s.id IN (SELECT session_id FROM project_session WHERE "
        "project_id = ?1)) ORDER BY s.id, w.ordinal, u.ordinal",
        project);
    while (rows.step()) {
        const SessionId session{rows.integer(0)};
        if (inputs.empty() || inputs.back().session != session)
            inputs.push_back({session, {}, Micros{rows.integer(1)}, {}});
        const auto instant = [&rows](int column) {
            return rows.isNull(column) ? "-" : std::to_string(rows.integer(column));
        };
        inputs.back().text +=
            fmt::format("{} {} {} {} {} {} {} {} {} {} {} {}\n", rows.integer(2), rows.text(3), instant(4),
                        instant(5), rows.text(6), rows.text(7), rows.integer(8), rows.text(9), rows.real(10),
                        rows.real(11), instant(12), instant(13));
    }
    auto decisions = decisionTexts(database, project);
    for (auto& session : inputs)
        if (const auto found = decisions.find(session.session); found != decisions.end())
            session.decisions = std::move(found->second);
    return inputs;
}

std::vector<StoredOutcome> outcomeRows(Database& database, std::optional<ProjectId> project,
                                       bool excludeReferenceFaults, std::string_view thresholds) {
    std::vector<StoredOutcome> outcomes;
    auto rows = database.statement(
        "SELECT o.wearing_id, o.stamp, o.has_heart_rate, o.refused, o.refused_because, o.laid_us, "
        "o.offset_s, o.drift_ppm, o.excluded_s, o.flags, o.aligned, o.as_recorded, o.flags_by_hand, "
        "o.reference_flags_by_hand, o.unmatched_decisions, o.reviewer_kappa FROM outcome o JOIN wearing w ON "
        "w.id = o.wearing_id WHERE o.reference_faults = ?2 AND o.thresholds = ?3 AND (?1 IS NULL OR "
        "w.session_id IN (SELECT session_id FROM project_session WHERE project_id = ?1)) ORDER BY "
        "o.wearing_id",
        project, faultsWord(excludeReferenceFaults), thresholds);
    while (rows.step()) {
        StoredOutcome stored{
            WearingId{rows.integer(0)}, excludeReferenceFaults, rows.text(1), {}, std::string{thresholds}};
        auto& outcome = stored.outcome;
        outcome.hasHeartRate = rows.integer(2) != 0;
        outcome.refused = rows.integer(3) != 0;
        outcome.refusedBecause = rows.text(4);
        outcome.laid = Micros{rows.integer(5)};
        outcome.offset = Seconds{rows.real(6)};
        outcome.drift = Ppm{rows.real(7)};
        outcome.excludedSeconds = rows.real(8);
        outcome.flags = flagsOf(rows.blob(9));
        const auto aligned = summaryOf(rows.blob(10)), asRecorded = summaryOf(rows.blob(11));
        if (!aligned || !asRecorded) continue;
        outcome.aligned = *aligned;
        outcome.asRecorded = *asRecorded;
        outcome.flagsByHand = static_cast<int>(rows.integer(12));
        outcome.referenceFlagsByHand = static_cast<int>(rows.integer(13));
        outcome.unmatchedDecisions = static_cast<int>(rows.integer(14));
        outcome.reviewerKappa = rows.maybeReal(15);
        outcomes.push_back(std::move(stored));
    }
    return outcomes;
}

void replaceOutcomes(Database& database, std::span<const StoredOutcome> outcomes) {
    for (const auto& [wearing, exclude, stamp, outcome, thresholds] : outcomes) {
        const auto flags = blobOf(outcome.flags), aligned = blobOf(outcome.aligned),
                   asRecorded = blobOf(outcome.asRecorded);
        // A wearing that was taken away meanwhile has no outcome to keep.
        database.run(
            "INSERT OR REPLACE INTO outcome (wearing_id, reference_faults, stamp, has_heart_rate, refused, "
            "refused_because, laid_us, offset_s, drift_ppm, excluded_s, flags, aligned, as_recorded, "
            "thresholds, flags_by_hand, reference_flags_by_hand, unmatched_decisions, reviewer_kappa) SELECT "
            "?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18 WHERE EXISTS "
            "(SELECT 1 FROM wearing WHERE id = ?1)",
            wearing, faultsWord(exclude), stamp, std::int64_t{outcome.hasHeartRate},
            std::int64_t{outcome.refused}, outcome.refusedBecause, std::int64_t{outcome.laid.count()},
            outcome.offset.value, outcome.drift.value, outcome.excludedSeconds,
            std::span<const std::byte>{flags}, std::span<const std::byte>{aligned},
            std::span<const std::byte>{asRecorded}, thresholds, std::int64_t{outcome.flagsByHand},
            std::int64_t{outcome.referenceFlagsByHand}, std::int64_t{outcome.unmatchedDecisions},
            outcome.reviewerKappa);
    }
}

}  // namespace beatwitness::library
