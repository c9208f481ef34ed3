// Figures of paired seconds: maps, difference plot, distribution, error by range.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/report/figures/figure_words.h"
#include "core/report/figures/project_evidence.h"

namespace beatwitness::report {
namespace {

using agreement::PairedSeconds;
using evaluation::GroupKey;

constexpr int smallMapCell_bpm = 2;
constexpr double errorOrigin_bpm =
    140.0;  ///< errors are counted as rates above this, so that a map can hold them
constexpr int widestError_bpm = 110;

/// Second references, where a figure shows them behind the devices.
constexpr auto floorName = "two references";

/// Reference and test of paired seconds.
struct Rates {
    std::vector<Bpm> reference, test;

    void add(const PairedSeconds& seconds) {
        for (std::size_t i = 0; i < seconds.size(); ++i)
            if (seconds.paired[i]) {
                reference.push_back({seconds.reference[i]});
                test.push_back({seconds.test[i]});
            }
    }
};

template <class Keep>
Rates ratesOf(const FigureEvidence& evidence, const FigureRequest& request, Keep keep) {
    Rates rates;
    for (const auto& item : evidence.evidence)
        if (keep(item)) {
            const auto& seconds = *item.under(request.clock).seconds;
            request.epoch_s > 1 ? rates.add(agreement::inEpochs(seconds, request.epoch_s))
                                : rates.add(seconds);
        }
    return rates;
}

Fault oneDeviceNeeded(const FigureEvidence& evidence) {
    return {FaultCode::WrongUsage,
            "this kind of figure shows one device; expected one of " + listed(evidence.devices),
            {},
            {},
            {}};
}

std::string maeWords(const agreement::PooledFigure& mae) {
    std::string text = "MAE " + figureNumber(mae.value);
    if (mae.ci95)
        text += fmt::format(" ({} to {})", figureNumber(mae.ci95->lower), figureNumber(mae.ci95->upper));
    return text;
}

/// Second references, scored against the first ones, in the place of devices: the floor behind them.
FigureEvidence referencesAsDevices(const FigureEvidence& evidence) {
    FigureEvidence references;
    references.question = evidence.question;
    references.question.criteria.clear();
    references.evidence = evidence.references;
    for (auto& one : references.evidence)
        one.secondReference = false;
    return references;
}

ErrorCounts errorCounts(const std::string& name, int colour, const Rates& rates) {
    ErrorCounts counts{name, colour, static_cast<double>(rates.test.size()), -widestError_bpm,
                       std::vector<double>(2 * widestError_bpm + 1, 0.0)};
    for (std::size_t i = 0; i < rates.test.size(); ++i) {
        const auto error = static_cast<int>(std::lround(rates.test[i].value - rates.reference[i].value));
        ++counts.counts[static_cast<std::size_t>(std::clamp(error, -widestError_bpm, widestError_bpm) +
                                                 widestError_bpm)];
    }
    // Empty ends only stretch the axis.
    while (counts.counts.size() > 1 && counts.counts.back() == 0)
        counts.counts.pop_back();
    while (counts.counts.size() > 1 && counts.counts.front() == 0) {
        counts.counts.erase(counts.counts.begin());
        ++counts.first_bpm;
    }
    return counts;
}

RangeError rangeError(const evaluation::AgreementGroup& group) {
    RangeError range;
    range.lower_bpm = std::stoi(labelOf(group, GroupKey::Range));
    range.mae_bpm = *group.timeWeighted.mae.value;
    range.pairs = group.pairs;
    range.interval = intervalOf(group.timeWeighted.mae);
    return range;
}

std::string activityWords(const std::string& activity) {
    return activity.empty() ? "no activity" : activity;
}

}  // namespace

Result<Scene> mapFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    if (evidence.devices.size() != 1) return oneDeviceNeeded(evidence);
    const auto& device = evidence.devices.front();
    const auto rates = ratesOf(evidence, request, [](const auto&) { return true; });
    const auto groups = groupsBy(evidence, request, {GroupKey::Device});
    auto words = pooledWords(
        evidence, request, sentenceCase(device) + " against the reference",
        "Density agreement map: seconds in cells of 1 \u00d7 1 bpm, with the lines of equality, half and "
        "double rate and a band of \u00b15 bpm.");
    if (!groups.empty()) words.subtitle += " \u00b7 " + maeWords(groups.front().timeWeighted.mae) + " bpm";
    return mapScene(agreement::densityMap(rates.reference, rates.test, 1), device, request.scale, words);
}

MotionSource mapMotion(const FigureEvidence& evidence, const FigureRequest& request) {
    auto rates = ratesOf(evidence, request, [](const auto&) { return true; });
    MotionSource motion;
    motion.hasTimeAxis = false;
    motion.begin_s = 0.0;
    motion.end_s = static_cast<double>(std::max<std::size_t>(rates.test.size(), 1));
    for (std::size_t i = 0; i < rates.test.size(); ++i)
        motion.mapped.seconds.push_back(static_cast<std::int64_t>(i) + 1);
    motion.mapped.reference = std::move(rates.reference);
    motion.mapped.test = std::move(rates.test);
    return motion;
}

Result<Scene> smallMapsFigure(const FigureEvidence& evidence, const FigureRequest& request,
                              std::size_t across) {
    std::vector<std::vector<SmallMap>> rows;
    const auto groups = meansBy(evidence, request, {GroupKey::Device, GroupKey::Activity});
    const auto mapOf = [&](const std::string& device, const std::string& activity) {
        const auto rates = ratesOf(evidence, request, [&](const auto& item) {
            return item.device == device && item.activity == activity;
        });
        SmallMap map{device + " \u00b7 " + activityWords(activity), "no session",
                     agreement::densityMap(rates.reference, rates.test, smallMapCell_bpm)};
        for (const auto& group : groups)
            if (labelOf(group, GroupKey::Device) == device && labelOf(group, GroupKey::Activity) == activity)
                map.subtitle = maeWords(group.timeWeighted.mae);
        return map;
    };
    const auto& activities = evidence.activities;
    const std::size_t columns = across == 0 ? activities.size() : across;
    for (std::size_t from = 0; from < activities.size(); from += columns)
        for (const auto& device : evidence.devices) {
            rows.emplace_back();
            for (std::size_t i = from; i < std::min(from + columns, activities.size()); ++i)
                rows.back().push_back(mapOf(device, activities[i]));
        }
    return smallMapsScene(
        std::move(rows), request.scale,
        pooledWords(evidence, request, sentenceCase(listed(evidence.devices)) + " against the reference",
                    "Density agreement maps by device and activity on the same scales, with mean "
                    "absolute errors in bpm and their 95 % intervals over sessions."));
}

Result<Scene> differenceFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    if (evidence.devices.size() != 1) return oneDeviceNeeded(evidence);
    const auto groups = groupsBy(evidence, request, {GroupKey::Device});
    if (groups.empty() || groups.front().limits.chosen() == nullptr)
        return Fault{
            FaultCode::NothingToCompare, "limits of agreement need two paired seconds or more", {}, {}, {}};
    const auto& group = groups.front();
    auto rates = ratesOf(evidence, request, [](const auto&) { return true; });
    for (std::size_t i = 0; i < rates.test.size(); ++i)
        rates.test[i].value = errorOrigin_bpm + std::clamp(rates.test[i].value - rates.reference[i].value,
                                                           -widestError_bpm * 1.0, widestError_bpm * 1.0);
    const auto level = [](const char* label, double value,
                          const std::optional<agreement::Interval>& interval) {
        Level made{label, value, {}};
        if (interval) made.interval = std::array{interval->lower, interval->upper};
        return made;
    };
    const auto& limits = *group.limits.chosen();
    DifferenceData data;
    data.scale = request.scale;
    data.map = agreement::densityMap(rates.reference, rates.test, 1);
    data.errorOrigin_bpm = errorOrigin_bpm;
    data.bias = level("bias", group.timeWeighted.bias.value.value_or(0.0), group.timeWeighted.bias.ci95);
    data.lower = level("lower limit", limits.lower.value, limits.lower.ci95);
    data.upper = level("upper limit", limits.upper.value, limits.upper.ci95);
    auto words = pooledWords(
        evidence, request, "Error of the " + evidence.devices.front() + " over heart rate",
        "Difference plot with bias and 95 % limits of agreement; bands are their 95 % intervals. " +
            sentenceCase(group.limits.because) + ".");
    return differenceScene(data, words);
}

Result<Scene> distributionFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    std::vector<ErrorCounts> all;
    if (!evidence.references.empty())
        all.push_back(
            errorCounts(floorName, referenceIndex,
                        ratesOf(referencesAsDevices(evidence), request, [](const auto&) { return true; })));
    for (const auto& device : evidence.devices)
        all.push_back(
            errorCounts(device, evidence.colourOf(device),
                        ratesOf(evidence, request, [&](const auto& item) { return item.device == device; })));
    return distributionScene(
        all, pooledWords(evidence, request, "How often the " + listed(evidence.devices) + " err by how much",
                         "Distribution of errors in whole bpm."));
}

Result<Scene> errorByRangeFigure(const FigureEvidence& evidence, const FigureRequest& request) {
    std::vector<DeviceRanges> all;
    if (!evidence.references.empty()) {
        auto& floor = all.emplace_back(DeviceRanges{floorName, referenceIndex, {}});
        for (const auto& group : meansBy(referencesAsDevices(evidence), request, {GroupKey::Range}))
            if (group.timeWeighted.mae.value) floor.ranges.push_back(rangeError(group));
    }
    for (const auto& device : evidence.devices)
        all.push_back({device, evidence.colourOf(device), {}});
    for (const auto& group : meansBy(evidence, request, {GroupKey::Device, GroupKey::Range})) {
        if (!group.timeWeighted.mae.value) continue;
        const auto range = rangeError(group);
        std::ranges::find(all, labelOf(group, GroupKey::Device), &DeviceRanges::device)
            ->ranges.push_back(range);
    }
    return errorByRangeScene(
        all, pooledWords(evidence, request, "Error by heart rate",
                         "Mean absolute error by range of the reference's heart rate, with 95 % "
                         "intervals over sessions."));
}

}  // namespace beatwitness::report
