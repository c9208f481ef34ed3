#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "core/agreement/pooled_agreement.h"
#include "core/foundation/clocks.h"

/// Requirements set before, and what the evidence says of them.
namespace beatwitness::agreement {

enum class Sense { AtMost, AtLeast, Within };  ///< Within: the figure lies inside +- limit

/// `at most`, `at least`, `within`.
[[nodiscard]] std::string_view senseName(Sense sense);
[[nodiscard]] std::optional<Sense> senseOf(std::string_view name);

/// "MAPE at most 5 % while rowing, 95 % sure."
struct Criterion {
    Metric metric = Metric::Mape;
    double limit = 0.0;  ///< in the metric's unit
    Sense sense = Sense::AtMost;
    std::string device;    ///< empty: every device
    std::string activity;  ///< empty: every activity
    double confidence = 0.95;
    std::optional<Micros> setAt;  ///< since 1970

    friend bool operator==(const Criterion&, const Criterion&) = default;
    [[nodiscard]] bool concerns(std::string_view ofDevice, std::string_view ofActivity) const {
        return (device.empty() || device == ofDevice) && (activity.empty() || activity == ofActivity);
    }
};

/// Where the words make no sense: one sentence. A confidence is above 0.5 and below 1; a limit is finite, not
/// negative, and for a share at most 100.
[[nodiscard]] std::optional<std::string> wrongWith(const Criterion& criterion);

enum class Verdict { Meets, DoesNotMeet, CannotTellYet };
/// `meets`, `does not meet`, `cannot tell yet`.
[[nodiscard]] std::string_view verdictName(Verdict verdict);

/// What an interval says of the criterion.
[[nodiscard]] Verdict verdictOf(const Criterion& criterion, const Interval& interval);

struct CriterionResult {
    Criterion criterion;
    PooledFigure figure;  ///< time-weighted, with an interval at the criterion's confidence
    Verdict verdict = Verdict::CannotTellYet;
    /// Further units until the interval would decide, were estimate and spread to stay: 0 where it does.
    /// Nothing where that cannot be had, or beyond `mostNeeded` in all.
    std::optional<std::size_t> unitsNeeded;
    std::string_view unit = "sessions";
    std::optional<bool> beforeData;  ///< set before any of the data was there
    std::string because;             ///< one sentence with its numbers
};
inline constexpr std::size_t mostNeeded = 10000;

/// The verdict comes from the interval, never from the estimate alone. `firstData`: when the first session
/// that counts was recorded.
[[nodiscard]] CriterionResult judge(const Criterion& criterion, const SamplingUnits& units,
                                    std::optional<Micros> firstData, const BootstrapSettings& settings = {});

/// Half the width of a t interval over `units` values of standard deviation `spread`. Requires units >= 2.
[[nodiscard]] double halfWidth(std::size_t units, double spread, double confidence = 0.95);
/// Fewest units whose half-width is at most `distance`, at least 2: for planning before the first recording
/// (`spread` assumed: between sessions; on the log scale for MAE, MAPE and RMSE) and for the curve. Nothing
/// where distance <= 0 or it takes more than mostNeeded.
[[nodiscard]] std::optional<std::size_t> unitsFor(double distance, double spread, double confidence = 0.95);

}  // namespace beatwitness::agreement
