#pragma once

#include "tests/support/sample_library.h"

/// What the sessions of the sample library are put together from.
namespace beatwitness::tests {

/// Session time, both ends included.
struct Stretch {
    double start_s, end_s;
};

/// From the first to the last phase of that name, `sooner_s` before its begin and `later_s` beyond its end.
[[nodiscard]] Stretch during(const SampleSession& session, std::string_view name, double sooner_s = 0.0,
                             double later_s = 0.0);
/// `length_s` from `after_s` on, counted from where the phase begins.
[[nodiscard]] Stretch within(const SampleSession& session, std::string_view name, double after_s,
                             double length_s);

[[nodiscard]] FaultPlan fault(FaultKind kind, Stretch stretch, double magnitude = 0.0);
[[nodiscard]] FaultPlan strapFault(FaultKind kind, Stretch stretch);

/// A session of the one wearer and the strap; the seed is that of the body.
[[nodiscard]] SampleSession session(std::string name, std::string activity, SampleSetting setting,
                                    std::int64_t start_us, ActivityPlan body, SampleSource strap);
/// The strap's file holds beat intervals.
void takeBeats(SampleSession& session);

/// Both devices were started some seconds before or after the strap and stopped after it. `clockOffset_s`:
/// the contract's sign.
[[nodiscard]] TestPlan worn(const SampleSession& session, double start_s, double clockOffset_s);

/// A band averages over some seconds, errs by a beat or two, and has a slow clock.
[[nodiscard]] SampleDevice band(const SampleSession& session, double start_s, double clockOffset_s,
                                SampleSource source, std::vector<FaultPlan> faults);
/// The firmware from 12 March on: reads half and misses rises less often, and its clock is set each night.
[[nodiscard]] SampleDevice newBand(const SampleSession& session, double start_s, double clockOffset_s,
                                   SampleSource source, std::vector<FaultPlan> faults);
/// Its share of the export: values as they change, at the latest every 5 s.
[[nodiscard]] SampleDevice exportedBand(const SampleSession& session, double start_s, double clockOffset_s,
                                        std::vector<FaultPlan> faults);
/// A watch smooths by itself and errs less; its clock is set by radio.
[[nodiscard]] SampleDevice watch(const SampleSession& session, double start_s, double clockOffset_s,
                                 SampleSource source, std::vector<FaultPlan> faults);

}  // namespace beatwitness::tests
