#include "widgets/figures/axis_ticks.h"

#include <QDate>
#include <QLocale>
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

/// Steps of a calendar: days up to a fortnight, then months, then years.
struct DateStep {
    int days = 0, months = 0;
};

DateStep dateStep(double leastDays) {
    for (const int days : {1, 2, 7, 14})
        if (days >= leastDays) return {days, 0};
    for (const int months : {1, 2, 3, 6})
        if (months * 30.4 >= leastDays) return {0, months};
    for (int years = 1;; years *= 2)
        if (years * 365.2 >= leastDays) return {0, 12 * years};
}

QString dateText(const QDate& date, const DateStep& step) {
    const QLocale locale;
    if (step.days > 0) return locale.toString(date, QStringLiteral("d MMM"));
    return step.months % 12 == 0 ? QString::number(date.year())
                                 : locale.toString(date, QStringLiteral("MMM yyyy"));
}

std::vector<Tick> dateTicks(const report::Axis& axis, double leastDays) {
    const QDate epoch(1970, 1, 1);
    const auto step = dateStep(leastDays);
    QDate at = epoch.addDays(static_cast<qint64>(std::ceil(axis.lowest)));
    if (step.days == 7 || step.days == 14) at = at.addDays((8 - at.dayOfWeek()) % 7);  // Mondays
    if (step.months > 0) {
        const int month = at.year() * 12 + at.month() - 1;
        const int first = ((at.day() > 1 ? month + 1 : month) + step.months - 1) / step.months * step.months;
        at = QDate(first / 12, first % 12 + 1, 1);
    }
    std::vector<Tick> ticks;
    while (static_cast<double>(epoch.daysTo(at)) <= axis.highest) {
        ticks.push_back({static_cast<double>(epoch.daysTo(at)), dateText(at, step)});
        at = step.days > 0 ? at.addDays(step.days) : at.addMonths(step.months);
    }
    return ticks;
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
    if (axis.kind == Kind::Date) return dateTicks(axis, least);
    const double step = axis.kind == Kind::SessionTime ? timeStep(least) : roundStep(least);
    std::vector<Tick> ticks;
    for (double i = std::ceil(axis.lowest / step - 1e-9); i * step <= axis.highest + step * 1e-9; ++i)
        ticks.push_back({i * step, textOf(i * step, step, axis.kind)});
    return ticks;
}

}  // namespace beatwitness::widgets
