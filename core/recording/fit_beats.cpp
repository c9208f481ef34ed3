#include "core/recording/fit_beats.h"

namespace beatwitness::recording {
namespace {

Micros lengthOf(double interval_ms) {
    return toMicros({interval_ms * 1e-3});
}

}  // namespace

void FitBeats::beginPart() {
    withoutTime_ += waiting_.size();
    waiting_.clear();
    now_.reset();
    lastBeat_.reset();
}

void FitBeats::placeWaiting(RecordingTime last) {
    RecordingTime beat = last;
    for (const double waiting : waiting_)
        beat -= lengthOf(waiting);
    for (const double waiting : waiting_)
        series_.add(beat += lengthOf(waiting), waiting);
    waiting_.clear();
    lastBeat_ = last;
}

void FitBeats::take(const FitMessageView& message) {
    if (lastBeat_ && now_ && std::chrono::abs(*lastBeat_ - *now_) > longestDrift) lastBeat_.reset();
    const auto& intervals = message.plan[fit_slot::beatIntervals];
    // As FitAssembler does for records: growing step by step would for a moment hold everything twice.
    if (series_.empty()) series_.reserve((message.bytesLeft / (message.plan.size + 1) + 1) * intervals.count);
    for (std::size_t i = 0; i < intervals.count; ++i) {
        const auto interval_ms = intervals.number(message.content, i);
        if (interval_ms && *interval_ms > 0 && *interval_ms < UINT16_MAX) interval(*interval_ms);
    }
}

void FitBeats::interval(double interval_ms) {
    if (!now_) {
        waiting_.push_back(interval_ms);
        return;
    }
    lastBeat_ = lastBeat_ ? *lastBeat_ + lengthOf(interval_ms) : *now_;
    series_.add(*lastBeat_, interval_ms);
}

}  // namespace beatwitness::recording
