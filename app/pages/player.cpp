#include "app/pages/player.h"

#include <algorithm>
#include <iterator>

#include "widgets/plots/timeline_view.h"

namespace beatwitness::app {
namespace {
constexpr int frame_ms = 33;
/// The range moves on when the cursor comes this near to its end, and leaves it as far from its begin.
constexpr double nearEnd = 0.05, fromBegin = 0.2;
}  // namespace

Player::Player(widgets::TimelineView& timeline, QObject* parent) : QObject(parent), timeline_(timeline) {
    timer_.setInterval(frame_ms);
    connect(&timer_, &QTimer::timeout, this,
            [this] { advance(static_cast<double>(since_.restart()) / 1000.0); });
}

void Player::setPlaying(bool playing) {
    if (playing == isPlaying()) return;
    if (playing) {
        const auto cursor = timeline_.cursor();
        const bool again = !cursor || *cursor >= timeline_.extent().second - 1;
        position_ = again ? (cursor ? timeline_.extent().first : timeline_.range().first) : *cursor;
        shown_ = cursor.value_or(-1.0);
        if (again) {
            timeline_.setCursor(position_);
            shown_ = timeline_.cursor().value_or(-1.0);
        }
        since_.start();
        timer_.start();
    } else {
        timer_.stop();
    }
    emit changed();
}

void Player::setSpeed(int speed) {
    if (speed == speed_) return;
    speed_ = speed;
    emit changed();
}

void Player::nextSpeed() {
    const auto* at = std::ranges::find(speeds, speed_);
    setSpeed(at == std::end(speeds) || at + 1 == std::end(speeds) ? speeds[0] : *(at + 1));
}

void Player::advance(double seconds) {
    const auto cursor = timeline_.cursor();
    if (cursor && *cursor != shown_) position_ = *cursor;
    position_ += seconds * speed_;
    const double last = timeline_.extent().second;
    timeline_.setCursor(std::min(position_, last));
    shown_ = timeline_.cursor().value_or(-1.0);
    follow(shown_);
    if (position_ >= last) setPlaying(false);
}

void Player::follow(double second) {
    const auto [begin, end] = timeline_.range();
    const double length = end - begin;
    if (second >= begin && second <= end - nearEnd * length) return;
    timeline_.setRange(second - fromBegin * length, second + (1 - fromBegin) * length);
}

}  // namespace beatwitness::app
