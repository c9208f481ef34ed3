#include "widgets/figures/axis_ticks.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "widgets/format/number_text.h"

namespace beatwitness::widgets {
namespace {

using Kind = report::Axis::Kind;

/// The smallest of 1, 2, 5 times a power of ten that is not below `least`.
double roundStep(double least) {
    const double power = std::pow(10.0, std::floor(std::log10(least)));
    for (const double factor : {1.0, 2.0, 5.0, 10.0})
        if (factor * power >= least * (1.0 - 1e-9)) return factor * power;
    return 10.0 * power;
}

double timeStep(double least) {
    static constexpr std::array steps{1.0,    2.0,    5.0,     10.0,    15.0,    30.0,
                                      60.0,   120.0,  300.0,   600.0,   900.0,   1800.0,
                                      3600.0, 7200.0, 10800.0, 21600.0, 43200.0, 86400.0};
    for (const double step : steps)
        if (step >= least) return step;
    return 86400.0 * std::ceil(least / 86400.0);
}

int decimalsOf(double step) {
    return step >= 1.0 ? 0 : static_cast<int>(std::ceil(-std::log10(step) - 1e-9));
}

QString textOf(double at, double step, Kind kind) {
    switch (kind) {
        case Kind::SessionTime:
            return sessionTimeText(at);
        case Kind::Signed:
            return signedText(at, decimalsOf(step));
        default:
            return numberText(at, decimalsOf(step));
    }
}

std::vector<Tick> categoryTicks(const report::Axis& axis) {
    std::vector<Tick> ticks;
    for (std::size_t i = 0; i < axis.categories.size(); ++i)
        ticks.push_back({static_cast<double>(i), QString::fromStdString(axis.categories[i])});
    return ticks;
}

}  // namespace

std::vector<Tick> ticksOf(const report::Axis& axis, double length, double room) {
    if (axis.kind == Kind::Hidden) return {};
    if (axis.kind == Kind::Categories) return categoryTicks(axis);
    const double range = axis.highest - axis.lowest;
    if (range <= 0 || length <= 0 || room <= 0) return {};
    const double least = range / std::max(1.0, length / room);
    const double step = axis.kind == Kind::SessionTime ? timeStep(least) : roundStep(least);
    std::vector<Tick> ticks;
    for (double i = std::ceil(axis.lowest / step - 1e-9); i * step <= axis.highest + step * 1e-9; ++i)
        ticks.push_back({i * step, textOf(i * step, step, axis.kind)});
    return ticks;
}

}  // namespace beatwitness::widgets
