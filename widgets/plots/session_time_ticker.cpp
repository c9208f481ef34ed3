#include "widgets/plots/session_time_ticker.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "widgets/format/number_text.h"

namespace beatwitness::widgets {
namespace {

/// The least of `steps` of which at most `labels` fit into `span`; the greatest where none does.
double leastFitting(std::span<const double> steps, double span, double labels) {
    const auto fits = [&](double step) { return span / step <= labels; };
    const auto found = std::ranges::find_if(steps, fits);
    return found == steps.end() ? steps.back() : *found;
}

}  // namespace

void SessionTimeTicker::setRoom(double axisLength, double labelWidth) {
    labels_ = std::max(1.0, axisLength / labelWidth);
}

double SessionTimeTicker::getTickStep(const QCPRange& range) {
    static constexpr std::array steps{1.0,    2.0,    5.0,     10.0,    15.0,    30.0,
                                      60.0,   120.0,  300.0,   600.0,   900.0,   1800.0,
                                      3600.0, 7200.0, 10800.0, 21600.0, 43200.0, 86400.0};
    const double widest = steps.back();
    if (range.size() / widest > labels_) return widest * std::ceil(range.size() / widest / labels_);
    return leastFitting(steps, range.size(), labels_);
}

int SessionTimeTicker::getSubTickCount(double) {
    return 0;
}

QString SessionTimeTicker::getTickLabel(double tick, const QLocale&, QChar, int) {
    return sessionTimeText(tick);
}

void BpmTicker::setRoom(double axisLength, double labelHeight) {
    labels_ = std::max(1.0, axisLength / labelHeight);
}

double BpmTicker::getTickStep(const QCPRange& range) {
    static constexpr std::array steps{1.0, 2.0, 5.0, 10.0, 20.0, 40.0, 50.0, 100.0, 200.0, 500.0};
    return leastFitting(steps, range.size(), labels_);
}

int BpmTicker::getSubTickCount(double) {
    return 0;
}

QString BpmTicker::getTickLabel(double tick, const QLocale&, QChar, int) {
    return sign_ == Sign::Always ? signedText(tick, 0) : numberText(tick, 0);
}

double ThreeTicker::getTickStep(const QCPRange& range) {
    // Three steps in a range can show four ticks, two and a half never.
    constexpr double mostSteps = 2.5;
    const double least = range.size() / mostSteps;
    const double decade = std::max(1.0, std::pow(10.0, std::floor(std::log10(least))));
    static constexpr std::array steps{1.0, 2.0, 5.0, 10.0};
    return decade * leastFitting(steps, range.size() / decade, mostSteps);
}

int ThreeTicker::getSubTickCount(double) {
    return 0;
}

QString ThreeTicker::getTickLabel(double tick, const QLocale&, QChar, int) {
    return numberText(tick, 0);
}

}  // namespace beatwitness::widgets
