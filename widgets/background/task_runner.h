#pragma once

#include <QObject>
#include <chrono>
#include <condition_variable>
#include <functional>
#include <mutex>
#include <optional>
#include <stop_token>
#include <thread>
#include <utility>

#include "core/foundation/run_control.h"

namespace beatwitness::widgets {

/// Runs one long core function at a time off the GUI thread. Alone in the program to own a thread.
///
/// `work` gets what it needs by value or as shared const, and returns what is to happen on the GUI thread
/// with its result. Runs are numbered: starting another one, or cancelling, asks the running one to stop and
/// drops whatever it still delivers, so that the window is free at once however long the work takes to
/// notice. At most one run waits. The destructor stops and waits. Everything but the work itself happens on
/// the thread the object lives in.
class TaskRunner : public QObject {
    Q_OBJECT

public:
    using Delivery = std::function<void()>;
    using Work = std::function<Delivery(const RunControl&)>;

    /// Progress is told at most this often: 20 times a second.
    static constexpr std::chrono::milliseconds leastBetweenProgress{50};

    explicit TaskRunner(QObject* parent = nullptr);
    ~TaskRunner() override;

    /// Runs `work` on the worker, then its delivery here. `what` tells the user what is being done.
    void start(const QString& what, Work work);

    /// The same for a core function and what becomes of its result.
    template <class Function, class Done>
    void run(const QString& what, Function function, Done done) {
        start(what, [function = std::move(function), done = std::move(done)](const RunControl& control) {
            auto result = std::make_shared<decltype(function(control))>(function(control));
            return Delivery{[result, done] { done(std::move(*result)); }};
        });
    }

    /// Drops the run at hand; nothing without one.
    void cancel();
    [[nodiscard]] bool busy() const { return busy_; }

signals:
    void started(const QString& what);
    /// 0 to 1.
    void progressed(double fraction);
    /// After the delivery of a run.
    void finished();
    /// Instead of finished(), when cancel() dropped a run.
    void cancelled();

private:
    struct Job {
        quint64 number = 0;
        Work work;
        std::stop_source stop;
    };

    void serve(const std::stop_token& stop);
    void perform(const Job& job);
    void deliver(quint64 number, const Delivery& delivery);
    void askRunningToStop();

    std::mutex mutex_;
    std::condition_variable_any wake_;
    std::optional<Job> waiting_;  // guarded by mutex_
    std::stop_source running_;    // guarded by mutex_
    quint64 number_ = 0;          // of the run at hand; GUI thread only
    bool busy_ = false;           // GUI thread only
    std::jthread worker_;         // last: it uses all of the above
};

}  // namespace beatwitness::widgets
