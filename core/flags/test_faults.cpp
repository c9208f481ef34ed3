#include "core/flags/test_faults.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/flags/decode_states.h"
#include "core/flags/dropouts.h"
#include "core/flags/episodes.h"
#include "core/flags/flag_order.h"
#include "core/flags/jumps.h"
#include "core/flags/rate_segments.h"
#include "core/flags/second_table.h"
#include "core/flags/still_runs.h"
#include "core/foundation/text.h"

namespace beatwitness::flags {
namespace {

using Marks = std::vector<std::uint8_t>;

void mark(Marks& marks, Stretch stretch) {
    std::fill(marks.begin() + static_cast<std::ptrdiff_t>(stretch.first),
              marks.begin() + static_cast<std::ptrdiff_t>(stretch.last) + 1, std::uint8_t{1});
}

/// Absurd dates must not cost memory: longer sessions are judged by their samples alone. Two weeks.
constexpr std::int64_t longestTable_s = 14 * 86400;

/// Without seconds as long as can be.
std::int64_t spanOf(const trace::SecondlyRates& rates) {
    if (rates.seconds.empty()) return longestTable_s;
    return rates.seconds.back() - rates.seconds.front();
}

/// Median distance of neighbouring samples that are joined, in s; 1 without any.
double usualInterval(const trace::SessionTrace& trace) {
    std::vector<double> intervals;
    for (std::size_t i = 1; i < trace.seconds.size(); ++i)
        if (trace.joined[i]) intervals.push_back(trace.seconds[i] - trace.seconds[i - 1]);
    if (intervals.empty()) return 1.0;
    const auto middle = intervals.begin() + static_cast<std::ptrdiff_t>(intervals.size() / 2);
    std::nth_element(intervals.begin(), middle, intervals.end());
    return *middle;
}

/// Finds the faults of one test, most certain kind first; what is explained is marked as taken.
class FaultSearch {
public:
    FaultSearch(const TestEvidence& evidence, const Settings& settings)
        : evidence_(evidence),
          settings_(settings),
          table_(secondTable(evidence.referenceSeconds, trace::atWholeSeconds(evidence.test),
                             evidence.excluded, settings.follow)),
          taken_(table_.size(), 0),
          still_(table_.size(), 0) {
        table_.flank_s =
            std::max<std::size_t>(2, static_cast<std::size_t>(std::lround(usualInterval(evidence.test))));
    }

    std::vector<Finding> find() {
        findJumps();
        findStandstills();
        suspectReference();
        SecondRow cadence;
        if (!evidence_.cadence.seconds.empty())
            cadence = rowOf(evidence_.cadence, table_.first,
                            table_.first + static_cast<std::int64_t>(table_.size()) - 1);
        const auto path =
            decodeStates(table_, {cadence.size() > 0 ? &cadence : nullptr, still_, taken_}, settings_);
        findSegments(path, cadence);
        findEpisodes();
        for (auto& finding : adriftIn(table_, taken_, settings_))
            keep(std::move(finding));
        return std::move(findings_);
    }

    [[nodiscard]] const SecondTable& table() const { return table_; }

private:
    void keep(Finding finding) {
        mark(taken_, finding.seconds);
        findings_.push_back(std::move(finding));
    }

    void findJumps() {
        const auto jumps = jumpsOfTest(table_, evidence_.test, settings_);
        for (const auto& train : trainsOf(jumps, settings_.spike.train_s)) {
            const auto length = train.seconds.seconds();
            const auto count = std::ranges::count_if(jumps, [&](const Jump& jump) {
                return jump.seconds.first >= train.seconds.first && jump.seconds.last <= train.seconds.last;
            });
            keep({FlagKind::Spike, train.seconds, train.size_bpm, 0.95,
                  count > 1
                      ? fmt::format(
                            "{} jumps of up to {:+.0f} bpm within {} s, faster than a heart can change.",
                            count, train.size_bpm, length)
                      : fmt::format(
                            "A jump of {:+.0f} bpm and back within {} s, faster than a heart can change.",
                            train.size_bpm, length)});
        }
    }

    /// Where the test stands still for longer than it ever would by its own habits.
    void findStandstills() {
        const auto& times = evidence_.test.seconds;
        const auto size = static_cast<double>(table_.size());
        for (const auto& run : stillRuns(evidence_.test, settings_.stuck)) {
            if (standingChance(evidence_.test, run) > settings_.stuck.chance) continue;
            const double begin =
                std::max(std::ceil(times[run.first]) - static_cast<double>(table_.first), 0.0);
            const double end =
                std::min(std::floor(times[run.last]) - static_cast<double>(table_.first), size - 1);
            if (begin >= end) continue;
            standstills_.push_back({static_cast<std::size_t>(begin), static_cast<std::size_t>(end)});
            mark(still_, standstills_.back());
        }
    }

    /// Where the reference stands still, a moving test leaves it and comes back to it, and the test does not
    /// stand still itself, the reference may be stuck: no fault of the test, and none that leaves the
    /// agreement.
    void suspectReference() {
        StuckSettings still = settings_.stuck;
        still.least_s = settings_.reference.still_s;
        for (const auto& run : stillRuns(evidence_.reference, still)) {
            if (standingChance(evidence_.reference, run) > settings_.reference.stillChance) continue;
            const auto& times = evidence_.reference.seconds;
            const Stretch stretch{
                static_cast<std::size_t>(std::ceil(times[run.first]) - static_cast<double>(table_.first)),
                static_cast<std::size_t>(std::floor(times[run.last]) - static_cast<double>(table_.first))};
            if (!leftAndCameBack(stretch)) continue;
            keep({FlagKind::Stuck, stretch, static_cast<double>(stretch.seconds()), 0.5,
                  fmt::format("The reference stood at {:.0f} bpm for {} s while the device moved away and "
                              "came back; which "
                              "of them is right the traces cannot tell.",
                              run.value_bpm, stretch.seconds()),
                  FlaggedTrace::Reference});
        }
    }

    [[nodiscard]] bool leftAndCameBack(Stretch stretch) const {
        constexpr std::size_t around_s = 12;
        double low = 1e9, high = -1e9, worst = 0.0;
        for (std::size_t i = stretch.first; i <= stretch.last; ++i) {
            if (!table_.paired[i] || taken_[i] || still_[i]) return false;
            low = std::min(low, table_.test.values[i]);
            high = std::max(high, table_.test.values[i]);
            worst = std::max(worst, std::abs(table_.smoothError[i]));
        }
        const auto followsWithin = [&](std::size_t from, std::size_t to) {
            for (std::size_t i = from; i < std::min(to, table_.size()); ++i)
                if (table_.paired[i] && std::abs(table_.smoothError[i]) < settings_.follow.wrong_bpm)
                    return true;
            return false;
        };
        return high - low >= settings_.stuck.moving_bpm && worst >= settings_.stuck.error_bpm &&
               followsWithin(stretch.first - std::min(stretch.first, around_s), stretch.first + 3) &&
               followsWithin(stretch.last, stretch.last + around_s);
    }

    /// Judges the standstill that shares most with `stretch`; false where it is no fault.
    bool keepStandstill(Stretch stretch) {
        for (const auto& run : standstills_) {
            const std::size_t first = std::max(run.first, stretch.first),
                              last = std::min(run.last, stretch.last);
            if (first > last || 5 * (last - first + 1) < 4 * stretch.seconds()) continue;
            auto finding = standstillFault(table_, run, taken_, settings_);
            if (!finding) return false;
            keep(std::move(*finding));
            return true;
        }
        return false;
    }

    /// What the path says in one word; neighbours with one word are looked at together.
    enum class Sort { Follows, Rate, Still, Away };

    [[nodiscard]] static Sort sortOf(TestState state) {
        switch (state) {
            case TestState::Follows:
                return Sort::Follows;
            case TestState::Still:
                return Sort::Still;
            case TestState::Late:
            case TestState::Off:
                return Sort::Away;
            default:
                return Sort::Rate;
        }
    }

    void findSegments(const std::vector<TestState>& path, const SecondRow& cadence) {
        for (std::size_t i = 0; i < path.size();) {
            const Sort sort = sortOf(path[i]);
            std::size_t last = i;
            while (last + 1 < path.size() && sortOf(path[last + 1]) == sort)
                ++last;
            if (sort == Sort::Rate)
                keepRates(path, {i, last}, cadence);
            else if (sort != Sort::Follows && !(sort == Sort::Still && keepStandstill({i, last})))
                open_.push_back({i, last});
            i = last + 1;
        }
    }

    /// One fault for the stretch, or one for each state in it.
    void keepRates(const std::vector<TestState>& path, Stretch stretch, const SecondRow& cadence) {
        if (auto whole = rateFault(table_, stretch, cadence, taken_, settings_))
            return keep(std::move(*whole));
        for (std::size_t i = stretch.first; i <= stretch.last;) {
            std::size_t last = i;
            while (last < stretch.last && path[last + 1] == path[i])
                ++last;
            if (auto part = rateFault(table_, {i, last}, cadence, taken_, settings_))
                keep(std::move(*part));
            else
                open_.push_back({i, last});
            i = last + 1;
        }
    }

    /// Joins open stretches that lie close to each other and explains them.
    void findEpisodes() {
        std::vector<Stretch> episodes;
        for (const auto& stretch : open_) {
            const auto wrong = wrongPart(table_, stretch, taken_, settings_.follow.wrong_bpm, true);
            if (!wrong) continue;
            if (!episodes.empty() && wrong->first <= episodes.back().last + 12)
                episodes.back().last = std::max(episodes.back().last, wrong->last);
            else
                episodes.push_back(*wrong);
        }
        std::optional<Stretch> missed;
        for (const auto& episode : episodes) {
            if (keepStandstill(episode)) continue;
            auto finding = explainEpisode(table_, episode, taken_, missed, settings_);
            if (!finding) continue;
            if (finding->kind == FlagKind::MissedRise) missed = chained(missed, finding->seconds);
            keep(std::move(*finding));
        }
    }

    /// A rise missed again shortly after one is one rise: its levels are those before the first.
    [[nodiscard]] static Stretch chained(const std::optional<Stretch>& missed, Stretch now) {
        constexpr std::size_t soon_s = 60;
        return missed && now.first <= missed->last + soon_s ? Stretch{missed->first, now.last} : now;
    }

    const TestEvidence& evidence_;
    const Settings& settings_;
    SecondTable table_;
    Marks taken_;
    Marks still_;
    std::vector<Stretch> standstills_;
    std::vector<Stretch> open_;  ///< where the device follows nothing, in the order of time
    std::vector<Finding> findings_;
};

Flag flagOf(const Finding& finding, std::int64_t first) {
    Flag flag;
    flag.kind = finding.kind;
    flag.on = finding.on;
    flag.unit = magnitudeUnit(finding.kind);
    flag.magnitude = finding.magnitude;
    flag.confidence = finding.confidence;
    flag.because = finding.because;
    const auto at = [&](std::size_t i) {
        return sessionTime(static_cast<double>(first + static_cast<std::int64_t>(i)));
    };
    flag.span = {at(finding.seconds.first), at(finding.seconds.last)};
    return flag;
}

}  // namespace

std::vector<Flag> testFaults(const TestEvidence& evidence, const trace::PairingSettings& pairing,
                             const Settings& settings) {
    auto flags = dropouts(evidence.test, evidence.pauses, FlaggedTrace::Test, pairing);
    // A device that was worn before or after the reference is not judged there.
    const double last_s = evidence.reference.seconds.back();
    std::erase_if(flags, [last_s](const Flag& flag) {
        return secondsOf(flag.span.end) < 0 || secondsOf(flag.span.begin) > last_s;
    });
    if (spanOf(evidence.referenceSeconds) < longestTable_s) {
        FaultSearch search{evidence, settings};
        for (const auto& finding : search.find())
            flags.push_back(flagOf(finding, search.table().first));
    }
    return joinedFlags(withoutDropouts(flags), settings.join_s);
}

}  // namespace beatwitness::flags
