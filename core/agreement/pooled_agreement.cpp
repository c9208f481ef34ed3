#include "core/agreement/pooled_agreement.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <vector>

namespace beatwitness::agreement {
namespace {

constexpr double normal975 = 1.959963984540054;
constexpr std::size_t fewSessions = 5;

using Interval = PooledFigure::Interval;
using Sessions = std::span<const SessionSums>;

enum class Scale { Plain, Log, Share };

double t975(std::size_t k) {
    return boost::math::quantile(boost::math::students_t(static_cast<double>(k - 1)), 0.975);
}

std::string methodText(std::string_view how, std::size_t k) {
    return fmt::format("{}, {} df{}", how, k - 1, k < fewSessions ? "; very few sessions" : "");
}

/// A mean or ratio, its standard error over k sessions, and how the two become an interval.
PooledFigure withInterval(double value, double standardError, std::size_t k, Scale scale,
                          std::string_view how) {
    PooledFigure figure{value, std::nullopt, {}};
    if (k < 2) {
        figure.method = "one session: no interval";
        return figure;
    }
    const double q = t975(k);
    if (scale == Scale::Log) {
        if (!(value > 0)) {
            figure.method = "no error at all: no interval on the log scale";
            return figure;
        }
        const double factor = q * standardError / value;
        figure.ci95 = Interval{value * std::exp(-factor), value * std::exp(factor)};
        figure.method = methodText(fmt::format("{} on the log scale", how), k);
        return figure;
    }
    figure.ci95 = Interval{value - q * standardError, value + q * standardError};
    if (scale == Scale::Share)
        figure.ci95 = Interval{std::max(0.0, figure.ci95->lower), std::min(100.0, figure.ci95->upper)};
    figure.method = methodText(how, k);
    return figure;
}

/// Wilson's interval of a share that is 0 or 100 % in each of k sessions, which are all there is to go by.
PooledFigure allAlike(double value_pct, std::size_t k) {
    if (k < 2) return {value_pct, std::nullopt, "one session: no interval"};
    const double n = static_cast<double>(k), z2 = normal975 * normal975;
    const double reach = 100 * z2 / (n + z2);
    return {value_pct, value_pct > 0 ? Interval{100 - reach, 100} : Interval{0, reach},
            fmt::format("Wilson over {} sessions, all alike", k)};
}

bool everyShareAlike(Sessions sessions, double SessionSums::*count) {
    return std::ranges::all_of(sessions, [=](const SessionSums& s) { return s.*count == 0; }) ||
           std::ranges::all_of(sessions, [=](const SessionSums& s) { return s.*count == s.n; });
}

/// Sum of `of` over sum of n, with the linearised standard error of a ratio over sessions.
struct Ratio {
    double value;
    double standardError;
};

Ratio ratioOf(Sessions sessions, double SessionSums::*of) {
    double sum = 0, n = 0;
    for (const auto& session : sessions) {
        sum += session.*of;
        n += session.n;
    }
    const double value = sum / n, k = static_cast<double>(sessions.size());
    double squares = 0;
    for (const auto& session : sessions)
        squares += std::pow(session.*of - value * session.n, 2);
    return {value, k < 2 ? 0.0 : std::sqrt(k / (k - 1) * squares) / n};
}

PooledFigure ratioFigure(Sessions sessions, double SessionSums::*of, Scale scale) {
    if (sessions.empty()) return {std::nullopt, std::nullopt, "no pairs"};
    const auto ratio = ratioOf(sessions, of);
    return withInterval(ratio.value, ratio.standardError, sessions.size(), scale, "t over sessions (ratio)");
}

PooledFigure shareFigure(Sessions sessions, double SessionSums::*count) {
    if (sessions.empty()) return {std::nullopt, std::nullopt, "no pairs"};
    const auto ratio = ratioOf(sessions, count);
    if (everyShareAlike(sessions, count)) return allAlike(100 * ratio.value, sessions.size());
    return withInterval(100 * ratio.value, 100 * ratio.standardError, sessions.size(), Scale::Share,
                        "t over sessions (ratio)");
}

PooledFigure rmseFigure(Sessions sessions) {
    auto figure = ratioFigure(sessions, &SessionSums::squared, Scale::Log);
    if (figure.value) figure.value = std::sqrt(*figure.value);
    if (figure.ci95) figure.ci95 = Interval{std::sqrt(figure.ci95->lower), std::sqrt(figure.ci95->upper)};
    return figure;
}

PooledFigure withoutInterval(std::optional<double> value) {
    return {value, std::nullopt,
            value ? "no interval: neighbouring seconds repeat each other and no formula allows for that"
                  : "not to be had"};
}

/// Mean of one value a session, over those that have it.
template <class ValueOf>
PooledFigure meanFigure(Sessions sessions, Scale scale, ValueOf valueOf) {
    std::vector<double> values;
    for (const auto& session : sessions)
        if (const std::optional<double> value = valueOf(session)) values.push_back(*value);
    if (values.empty()) return {std::nullopt, std::nullopt, "not to be had in any session"};
    const double k = static_cast<double>(values.size());
    double mean = 0, squares = 0;
    for (const double value : values)
        mean += value / k;
    for (const double value : values)
        squares += (value - mean) * (value - mean);
    const double standardError = values.size() < 2 ? 0.0 : std::sqrt(squares / (k - 1) / k);
    return withInterval(mean, standardError, values.size(), scale, "t over sessions");
}

auto perPair(double SessionSums::*of, double scale = 1.0) {
    return [=](const SessionSums& session) -> std::optional<double> {
        return scale * (session.*of) / session.n;
    };
}

PooledFigure meanShare(Sessions sessions, double SessionSums::*count) {
    if (!sessions.empty() && everyShareAlike(sessions, count))
        return allAlike(sessions.front().*count > 0 ? 100 : 0, sessions.size());
    return meanFigure(sessions, Scale::Share, perPair(count, 100));
}

std::vector<SessionSums> withPairs(Sessions sessions) {
    std::vector<SessionSums> kept;
    std::ranges::copy_if(sessions, std::back_inserter(kept), [](const SessionSums& s) { return s.n > 0; });
    return kept;
}

}  // namespace

PooledFigures timeWeighted(Sessions all) {
    const auto sessions = withPairs(all);
    SessionSums total;
    for (const auto& session : sessions)
        total += session;
    PooledFigures figures;
    figures.bias = ratioFigure(sessions, &SessionSums::error, Scale::Plain);
    figures.sd = withoutInterval(sdOf(total));
    figures.mae = ratioFigure(sessions, &SessionSums::absolute, Scale::Log);
    figures.mape = ratioFigure(sessions, &SessionSums::relative_pct, Scale::Log);
    figures.rmse = rmseFigure(sessions);
    figures.pearsonR = withoutInterval(pearsonOf(total));
    figures.ccc = withoutInterval(cccOf(total));
    figures.icc21 = withoutInterval(iccOf(total));
    figures.within3Bpm = shareFigure(sessions, &SessionSums::within3);
    figures.within5Bpm = shareFigure(sessions, &SessionSums::within5);
    figures.within10Bpm = shareFigure(sessions, &SessionSums::within10);
    figures.within5Pct = shareFigure(sessions, &SessionSums::within5Pct);
    figures.within10Pct = shareFigure(sessions, &SessionSums::within10Pct);
    figures.within5BpmOr10Pct = shareFigure(sessions, &SessionSums::within5Or10);
    figures.halfRate = shareFigure(sessions, &SessionSums::half);
    return figures;
}

PooledFigures sessionWeighted(Sessions all) {
    const auto sessions = withPairs(all);
    PooledFigures figures;
    figures.bias = meanFigure(sessions, Scale::Plain, biasOf);
    figures.sd = meanFigure(sessions, Scale::Plain, sdOf);
    figures.mae = meanFigure(sessions, Scale::Log, perPair(&SessionSums::absolute));
    figures.mape = meanFigure(sessions, Scale::Log, perPair(&SessionSums::relative_pct));
    figures.rmse = meanFigure(sessions, Scale::Log, rmseOf);
    figures.pearsonR = meanFigure(sessions, Scale::Plain, pearsonOf);
    figures.ccc = meanFigure(sessions, Scale::Plain, cccOf);
    figures.icc21 = meanFigure(sessions, Scale::Plain, iccOf);
    figures.within3Bpm = meanShare(sessions, &SessionSums::within3);
    figures.within5Bpm = meanShare(sessions, &SessionSums::within5);
    figures.within10Bpm = meanShare(sessions, &SessionSums::within10);
    figures.within5Pct = meanShare(sessions, &SessionSums::within5Pct);
    figures.within10Pct = meanShare(sessions, &SessionSums::within10Pct);
    figures.within5BpmOr10Pct = meanShare(sessions, &SessionSums::within5Or10);
    figures.halfRate = meanShare(sessions, &SessionSums::half);
    return figures;
}

}  // namespace beatwitness::agreement
