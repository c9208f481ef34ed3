#include "core/flags/second_table.h"

#include <algorithm>
#include <cmath>
#include <deque>

#include "core/flags/flag_settings.h"

namespace beatwitness::flags {
namespace {

double medianOf(std::vector<double>& values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// Running extreme by a monotone queue of indices.
template <class Better>
std::vector<double> running(const SecondRow& row, std::int64_t reach, Better better) {
    const auto n = static_cast<std::int64_t>(row.size());
    std::vector<double> out(row.size(), 0.0);
    std::vector<std::int64_t> queue(row.size());
    std::size_t head = 0, tail = 0;
    std::int64_t next = 0;
    for (std::int64_t i = 0; i < n; ++i) {
        for (; next < n && next <= i + reach; ++next) {
            const auto k = static_cast<std::size_t>(next);
            if (!row.valid[k]) continue;
            while (tail > head &&
                   !better(row.values[static_cast<std::size_t>(queue[tail - 1])], row.values[k]))
                --tail;
            queue[tail++] = next;
        }
        while (head < tail && queue[head] < i - reach)
            ++head;
        if (head < tail) out[static_cast<std::size_t>(i)] = row.values[static_cast<std::size_t>(queue[head])];
    }
    return out;
}

/// Valid where a second within reach is.
std::vector<std::uint8_t> reached(const SecondRow& row, std::int64_t reach) {
    std::vector<std::uint8_t> out(row.size(), 0);
    const auto n = static_cast<std::int64_t>(row.size());
    std::int64_t last = -reach - 1;
    for (std::int64_t i = 0; i < n; ++i) {
        if (row.valid[static_cast<std::size_t>(i)]) last = i;
        if (i - last <= reach) out[static_cast<std::size_t>(i)] = 1;
    }
    last = n + reach + 1;
    for (std::int64_t i = n; i-- > 0;) {
        if (row.valid[static_cast<std::size_t>(i)]) last = i;
        if (last - i <= reach) out[static_cast<std::size_t>(i)] = 1;
    }
    return out;
}

std::vector<double> smoothed(const SecondTable& table) {
    constexpr std::int64_t reach = 2;
    const auto n = static_cast<std::int64_t>(table.size());
    std::vector<double> out(table.size(), 0.0);
    for (std::int64_t i = 0; i < n; ++i) {
        if (!table.paired[static_cast<std::size_t>(i)]) continue;
        double sum = 0.0, count = 0.0;
        for (std::int64_t k = std::max<std::int64_t>(i - reach, 0); k <= std::min(i + reach, n - 1); ++k) {
            if (!table.paired[static_cast<std::size_t>(k)]) continue;
            sum += table.error(static_cast<std::size_t>(k));
            count += 1.0;
        }
        out[static_cast<std::size_t>(i)] = sum / count;
    }
    return out;
}

}  // namespace

SecondRow rowOf(const trace::SecondlyRates& rates, std::int64_t first, std::int64_t last) {
    SecondRow row;
    row.first = first;
    const auto count = static_cast<std::size_t>(std::max<std::int64_t>(last - first + 1, 0));
    row.values.assign(count, 0.0);
    row.valid.assign(count, 0);
    const auto begin = std::ranges::lower_bound(rates.seconds, first) - rates.seconds.begin();
    for (auto i = static_cast<std::size_t>(begin); i < rates.seconds.size() && rates.seconds[i] <= last;
         ++i) {
        const auto place = static_cast<std::size_t>(rates.seconds[i] - first);
        row.values[place] = rates.rates[i].value;
        row.valid[place] = 1;
    }
    return row;
}

Envelope envelopeOf(const SecondRow& row, std::int64_t reach) {
    return {running(row, reach, [](double a, double b) { return a < b; }),
            running(row, reach, [](double a, double b) { return a > b; }), reached(row, reach)};
}

SecondTable secondTable(const trace::SecondlyRates& reference, const trace::SecondlyRates& test,
                        std::span<const trace::SessionSpan> excluded, const FollowSettings& settings) {
    SecondTable table;
    table.first = reference.seconds.front();
    const auto last = reference.seconds.back();
    table.reference = rowOf(reference, table.first, last);
    table.test = rowOf(test, table.first, last);
    table.paired.assign(table.reference.size(), 0);
    for (std::size_t i = 0; i < table.paired.size(); ++i)
        table.paired[i] = table.reference.valid[i] && table.test.valid[i];
    for (const auto& span : excluded) {
        const double begin = std::ceil(secondsOf(span.begin)) - static_cast<double>(table.first);
        const double end = std::floor(secondsOf(span.end)) - static_cast<double>(table.first);
        for (double i = std::max(begin, 0.0); i <= end && i < static_cast<double>(table.size()); ++i)
            table.paired[static_cast<std::size_t>(i)] = 0;
    }
    std::vector<double> errors;
    for (std::size_t i = 0; i < table.size(); ++i)
        if (table.paired[i]) errors.push_back(table.error(i));
    table.noise_bpm = settings.leastNoise_bpm;
    if (!errors.empty()) {
        const double median = medianOf(errors);
        table.bias_bpm = std::clamp(median, -settings.mostBias_bpm, settings.mostBias_bpm);
        for (double& error : errors)
            error = std::abs(error - median);
        table.noise_bpm =
            std::clamp(1.4826 * medianOf(errors), settings.leastNoise_bpm, settings.mostNoise_bpm);
    }
    table.smoothError = smoothed(table);
    return table;
}

}  // namespace beatwitness::flags
