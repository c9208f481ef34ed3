#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/agreement/density_map.h"
#include "core/report/scene.h"
#include "core/trace/pairs.h"

/// Figures of paired seconds pooled over sessions. Texts that name what was pooled come with the data.
namespace beatwitness::report {

/// Title, caption and note of a figure, filled by whoever pooled the data.
struct FigureWords {
    std::string title, subtitle, caption, footnote;
};

/// Rate ranges that several panels share, in bpm.
struct RateRange {
    int lowest_bpm = 40, highest_bpm = 200;
};
/// Whole tens around every counted cell of `maps`; 60 to 180 where nothing is counted.
[[nodiscard]] RateRange rangeOf(std::span<const agreement::DensityMap> maps);

/// Test over reference in whole-bpm cells with 1:1, 1:2 and 2:1 guides and the ±5 bpm band.
[[nodiscard]] Scene mapScene(agreement::DensityMap map, const std::string& device, Cells::Scale scale,
                             const FigureWords& words);

/// The same map as a panel beside other panels, with what its colours mean.
struct MapBeside {
    Panel panel;
    LegendEntry ramp;
};
[[nodiscard]] MapBeside mapBeside(agreement::DensityMap map, const std::string& device, Cells::Scale scale);

struct SmallMap {
    std::string title, subtitle;
    agreement::DensityMap map;
};
/// A row of maps for each entry, all on one scale of rates and of counts; rows of one length.
[[nodiscard]] Scene smallMapsScene(std::vector<std::vector<SmallMap>> rows, Cells::Scale scale,
                                   const FigureWords& words);

/// A level with what is known of it.
struct Level {
    std::string label;
    double value = 0.0;
    std::optional<std::array<double, 2>> interval;
};
struct DifferenceData {
    agreement::DensityMap map;  ///< x: reference or mean, y: error shifted by `errorOrigin_bpm`
    double errorOrigin_bpm = 0.0;
    bool againstMean = false;
    Cells::Scale scale = Cells::Scale::Log;
    Level bias, lower, upper;
};
/// Error over heart rate as density, with bias and limits and their intervals.
[[nodiscard]] Scene differenceScene(const DifferenceData& data, const FigureWords& words);

/// In the place of a device: two references against each other, the floor behind every device.
inline constexpr int referenceIndex = -1;

struct ErrorCounts {
    std::string device;
    int deviceIndex = 0;
    double pairs = 0;
    int first_bpm = 0;           ///< error of the first count; one count a whole bpm, rounded to the nearest
    std::vector<double> counts;  ///< seconds
};
/// How often which error occurs, in per cent of each device's paired seconds.
[[nodiscard]] Scene distributionScene(std::span<const ErrorCounts> devices, const FigureWords& words);

struct RangeError {
    int lower_bpm = 0;  ///< 20 bpm wide
    double mae_bpm = 0, pairs = 0;
    std::optional<std::array<double, 2>> interval;
};
struct DeviceRanges {
    std::string device;
    int deviceIndex = 0;
    std::vector<RangeError> ranges;
};
[[nodiscard]] Scene errorByRangeScene(std::span<const DeviceRanges> devices, const FigureWords& words);

}  // namespace beatwitness::report
