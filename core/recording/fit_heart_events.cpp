#include "core/recording/fit_heart_events.h"

#include <algorithm>

#include "core/recording/heart_rate_range.h"

namespace beatwitness::recording {
namespace {

/// Nearest microsecond of `steps` of 1/1024 s; 1e6 / 1024 = 15625 / 16. Requires: steps < 2^49.
Micros fromCounter(std::uint64_t steps) {
    return Micros{static_cast<std::int64_t>((steps * 15625 + 8) / 16)};
}

Micros fractionOf(const FitMessageView& message) {
    const auto fine = message.number(fit_slot::fraction32768), coarse = message.number(fit_slot::fraction256);
    const double fraction_s = fine ? *fine / 32768 : coarse ? *coarse / 256 : 0;
    return fraction_s >= 0 && fraction_s < 1 ? toMicros({fraction_s}) : Micros{0};
}

std::optional<std::uint32_t> counterOf(const FitMessageView& message, std::size_t index) {
    return message.plan[fit_slot::eventTime].unsigned32(message.content, index);
}

}  // namespace

void FitHeartEvents::take(const FitMessageView& message) {
    anchorAt(message);
    const auto& counters = message.plan[fit_slot::eventTime];
    for (std::size_t i = 0; i < counters.count; ++i) {
        const auto counter = counterOf(message, i);
        if (!counter) continue;
        if (!anchor_) {
            ++withoutAnchor_;
            continue;
        }
        const std::uint32_t latest = anchor_->counter + static_cast<std::uint32_t>(anchor_->sinceAnchor);
        const auto step = static_cast<std::int32_t>(*counter - latest);
        if (step >= 0)
            event(anchor_->sinceAnchor + static_cast<std::uint64_t>(step),
                  message.number(fit_slot::filteredRate, i));
    }
    packedEvents(message);
}

void FitHeartEvents::anchorAt(const FitMessageView& message) {
    const auto counter = counterOf(message, 0);
    if (!counter || !message.time) return;
    anchor_ = Anchor{recordingTime(*message.time).time_since_epoch() + fractionOf(message), *counter, 0};
}

void FitHeartEvents::event(std::uint64_t sinceAnchor, std::optional<double> rate_bpm) {
    anchor_->sinceAnchor = sinceAnchor;
    const bool rolledOver =
        sinceAnchor > UINT32_MAX;  // the counter itself has, so its times are anyone's guess
    if (rolledOver || !rate_bpm || !isValidHeartRate(*rate_bpm)) return;
    series_.add(RecordingTime{anchor_->time + fromCounter(sinceAnchor)}, *rate_bpm);
}

void FitHeartEvents::packedEvents(const FitMessageView& message) {
    const auto& packed = message.plan[fit_slot::eventTime12];
    if (packed.type != FitType::Bytes && packed.type != FitType::Unsigned8) return;
    const auto byte = [&](std::size_t i) {
        return std::to_integer<std::uint32_t>(message.content[packed.offset + i]);
    };
    const std::size_t events = packed.count / 3U * 2U;
    for (std::size_t i = 0; i < events; ++i) {
        const std::size_t first = i / 2 * 3;
        const std::uint32_t low12 = i % 2 == 0 ? byte(first) | (byte(first + 1) & 0x0FU) << 8U
                                               : byte(first + 1) >> 4U | byte(first + 2) << 4U;
        if (!anchor_) {
            ++withoutAnchor_;
            continue;
        }
        const std::uint32_t latest = anchor_->counter + static_cast<std::uint32_t>(anchor_->sinceAnchor);
        event(anchor_->sinceAnchor + ((low12 - latest) & 0xFFFU), message.number(fit_slot::filteredRate, i));
    }
}

std::size_t fillFromEvents(FitSeries& records, FitSeries&& events) {
    if (events.empty()) return 0;
    std::vector<RecordingTime> valid;
    for (std::size_t i = 0; i < records.size(); ++i)
        if (isValidHeartRate(records.values[i])) valid.push_back(records.times[i]);
    std::ranges::sort(valid);

    const auto fills = [&valid](RecordingTime time, double) {
        const auto next = std::ranges::lower_bound(valid, time);
        if (next == valid.end()) return true;
        if (*next == time) return false;
        return next == valid.begin() || *next - *(next - 1) > longestUnfilledGap;
    };
    events.keepOnly(fills);
    const std::size_t filled = events.size();
    if (records.empty()) {
        records = std::move(events);
        return filled;
    }
    records.times.insert(records.times.end(), events.times.begin(), events.times.end());
    records.values.insert(records.values.end(), events.values.begin(), events.values.end());
    return filled;
}

}  // namespace beatwitness::recording
