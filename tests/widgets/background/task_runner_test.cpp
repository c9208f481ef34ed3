#include "widgets/background/task_runner.h"

#include <gtest/gtest.h>

#include <QElapsedTimer>
#include <QLabel>
#include <QProgressBar>
#include <QSignalSpy>
#include <QTest>
#include <QThread>
#include <atomic>
#include <semaphore>

#include "widgets/background/progress_strip.h"

namespace beatwitness::widgets {
namespace {

constexpr int patience_ms = 10000;

bool waitFor(const std::function<bool()>& condition) {
    return QTest::qWaitFor(condition, patience_ms);
}

TEST(TaskRunner, WorksOffTheGuiThreadAndDeliversOnIt) {
    TaskRunner runner;
    QThread* workedOn = nullptr;
    QThread* deliveredOn = nullptr;
    int result = 0;

    runner.run(
        "adding",
        [&](const RunControl&) {
            workedOn = QThread::currentThread();
            return 40 + 2;
        },
        [&](int sum) {
            deliveredOn = QThread::currentThread();
            result = sum;
        });

    ASSERT_TRUE(waitFor([&] { return result != 0; }));
    EXPECT_EQ(result, 42);
    EXPECT_NE(workedOn, QThread::currentThread());
    EXPECT_EQ(deliveredOn, QThread::currentThread());
}

TEST(TaskRunner, DropsAResultThatCameAfterANewerRunWasStarted) {
    TaskRunner runner;
    std::binary_semaphore begun{0}, mayEnd{0};
    QStringList delivered;
    runner.run(
        "late",
        [&](const RunControl&) {
            begun.release();
            mayEnd.acquire();
            return 0;
        },
        [&](int) { delivered << "late"; });
    begun.acquire();

    runner.run(
        "new", [](const RunControl&) { return 0; }, [&](int) { delivered << "new"; });
    mayEnd.release();

    ASSERT_TRUE(waitFor([&] { return !delivered.isEmpty(); }));
    QTest::qWait(0);
    EXPECT_EQ(delivered, QStringList{"new"});
}

TEST(TaskRunner, CancelFreesTheWindowAtOnceEvenWhenTheWorkDoesNotListen) {
    TaskRunner runner;
    QSignalSpy cancelled(&runner, &TaskRunner::cancelled);
    std::binary_semaphore begun{0}, mayEnd{0};
    bool delivered = false;
    runner.run(
        "deaf",
        [&](const RunControl&) {
            begun.release();
            mayEnd.acquire();
            return 0;
        },
        [&](int) { delivered = true; });
    begun.acquire();

    QElapsedTimer clock;
    clock.start();
    runner.cancel();
    const auto took_ms = clock.elapsed();
    mayEnd.release();
    bool nextDone = false;
    runner.run(
        "next", [](const RunControl&) { return 0; }, [&](int) { nextDone = true; });

    ASSERT_TRUE(waitFor([&] { return nextDone; }));
    EXPECT_LT(took_ms, 200);
    EXPECT_EQ(cancelled.count(), 1);
    EXPECT_FALSE(delivered);
}

TEST(TaskRunner, CancelAsksTheWorkToStop) {
    TaskRunner runner;
    std::binary_semaphore begun{0};
    std::atomic<bool> stopped = false;
    runner.run(
        "long",
        [&](const RunControl& run) {
            begun.release();
            while (!run.stopRequested())
                std::this_thread::yield();
            stopped = true;
            return 0;
        },
        [](int) {});
    begun.acquire();

    runner.cancel();

    EXPECT_TRUE(waitFor([&] { return stopped.load(); }));
}

TEST(TaskRunner, DestructorStopsAndWaitsForTheWork) {
    std::binary_semaphore begun{0};
    bool ended = false;
    {
        TaskRunner runner;
        runner.run(
            "long",
            [&](const RunControl& run) {
                begun.release();
                while (!run.stopRequested())
                    std::this_thread::yield();
                ended = true;
                return 0;
            },
            [](int) {});
        begun.acquire();
    }

    EXPECT_TRUE(ended);
}

TEST(TaskRunner, TellsProgressAtMostTwentyTimesASecond) {
    TaskRunner runner;
    QSignalSpy progressed(&runner, &TaskRunner::progressed);
    QSignalSpy finished(&runner, &TaskRunner::finished);
    std::atomic<qint64> took_ms = 0;

    runner.run(
        "chatty",
        [&](const RunControl& run) {
            QElapsedTimer clock;
            clock.start();
            while (clock.elapsed() < 300)
                run.progress(static_cast<double>(clock.elapsed()) / 300.0);
            took_ms = clock.elapsed();
            return 0;
        },
        [](int) {});

    ASSERT_TRUE(waitFor([&] { return finished.count() == 1; }));
    EXPECT_GE(progressed.count(), 2);
    EXPECT_LE(progressed.count(), took_ms / 50 + 1);
}

TEST(ProgressStrip, AppearsOnlyAfterHalfASecondAndGoesWithTheWork) {
    TaskRunner runner;
    QWidget window;
    ProgressStrip strip(runner, &window);
    window.show();
    std::binary_semaphore mayEnd{0};
    QElapsedTimer clock;
    clock.start();

    runner.run(
        "slow",
        [&](const RunControl&) {
            mayEnd.acquire();
            return 0;
        },
        [](int) {});
    const bool atOnce = strip.isVisible();
    ASSERT_TRUE(waitFor([&] { return strip.isVisible(); }));
    const auto appeared_ms = clock.elapsed();
    mayEnd.release();

    EXPECT_FALSE(atOnce);
    EXPECT_GE(appeared_ms, 490);
    EXPECT_TRUE(waitFor([&] { return !strip.isVisible(); }));
}

}  // namespace
}  // namespace beatwitness::widgets
