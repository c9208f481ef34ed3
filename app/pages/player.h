#pragma once

#include <QElapsedTimer>
#include <QObject>
#include <QTimer>

namespace beatwitness::widgets {
class TimelineView;
}

namespace beatwitness::app {

/// Plays a session: moves the timeline's cursor on in real time or faster, and the range with it. Ends at the
/// end. Whoever moves the cursor meanwhile is followed.
class Player : public QObject {
    Q_OBJECT

public:
    static constexpr int speeds[] = {1, 10, 60};

    explicit Player(widgets::TimelineView& timeline, QObject* parent = nullptr);

    void setPlaying(bool playing);
    [[nodiscard]] bool isPlaying() const { return timer_.isActive(); }
    void setSpeed(int speed);
    void nextSpeed();
    [[nodiscard]] int speed() const { return speed_; }
    /// As if `seconds` of real time had passed.
    void advance(double seconds);

signals:
    void changed();

private:
    void follow(double second);

    widgets::TimelineView& timeline_;
    QTimer timer_;
    QElapsedTimer since_;
    double position_ = 0.0;
    double shown_ = -1.0;  ///< where the cursor was put last
    int speed_ = 10;
};

}  // namespace beatwitness::app
