#include "widgets/background/task_runner.h"

namespace beatwitness::widgets {
namespace {

using Clock = std::chrono::steady_clock;

/// Lets a report through when enough time has passed since the one before it.
class Throttle {
public:
    [[nodiscard]] bool due() {
        const auto now = Clock::now();
        if (told_ && now - *told_ < TaskRunner::leastBetweenProgress) return false;
        told_ = now;
        return true;
    }

private:
    std::optional<Clock::time_point> told_;
};

}  // namespace

TaskRunner::TaskRunner(QObject* parent)
    : QObject(parent), worker_([this](const std::stop_token& stop) { serve(stop); }) {}

TaskRunner::~TaskRunner() {
    askRunningToStop();
    worker_.request_stop();
    worker_.join();
}

void TaskRunner::start(const QString& what, Work work) {
    askRunningToStop();
    Job job{++number_, std::move(work), {}};
    {
        const std::lock_guard lock(mutex_);
        waiting_ = std::move(job);
    }
    busy_ = true;
    emit started(what);
    wake_.notify_one();
}

void TaskRunner::cancel() {
    if (!busy_) return;
    askRunningToStop();
    ++number_;
    busy_ = false;
    emit cancelled();
}

void TaskRunner::askRunningToStop() {
    const std::lock_guard lock(mutex_);
    waiting_.reset();
    running_.request_stop();
}

void TaskRunner::serve(const std::stop_token& stop) {
    while (true) {
        Job job;
        {
            std::unique_lock lock(mutex_);
            if (!wake_.wait(lock, stop, [this] { return waiting_.has_value(); })) return;
            job = std::move(*waiting_);
            waiting_.reset();
            running_ = job.stop;
        }
        if (stop.stop_requested()) return;
        perform(job);
    }
}

void TaskRunner::perform(const Job& job) {
    const quint64 number = job.number;
    const auto throttle = std::make_shared<Throttle>();
    const auto report = [this, number, throttle](double fraction) {
        if (!throttle->due()) return;
        QMetaObject::invokeMethod(
            this,
            [this, number, fraction] {
                if (number == number_ && busy_) emit progressed(fraction);
            },
            Qt::QueuedConnection);
    };
    Delivery delivery = job.work(RunControl{job.stop.get_token(), report});
    // Posted events of a destroyed object are discarded, and the destructor waits for this function.
    QMetaObject::invokeMethod(
        this, [this, number, delivery = std::move(delivery)] { deliver(number, delivery); },
        Qt::QueuedConnection);
}

void TaskRunner::deliver(quint64 number, const Delivery& delivery) {
    if (number != number_ || !busy_) return;
    busy_ = false;
    // A delivery may start the next run: finished() then belongs to that one.
    if (delivery) delivery();
    if (!busy_) emit finished();
}

}  // namespace beatwitness::widgets
