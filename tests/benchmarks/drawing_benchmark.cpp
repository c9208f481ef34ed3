// Frame times of the plot views, against performance-goals.md "Drawing": one JSON line each, milliseconds.
//
// A frame is everything from the new range to painted pixels in the window's backing store. 1920 x 1080, four
// 24 h traces besides the reference, 300 flags, at the pixel ratio of QT_SCALE_FACTOR. Frames of a pan follow
// each other as in a drag, so all but the first are coarse; "at rest" is the full drawing that follows.
#include <QApplication>
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <functional>

#include "tests/widgets/plots/demo_session.h"
#include "widgets/plots/agreement_map_view.h"
#include "widgets/plots/timeline_view.h"
#include "widgets/theme/theme.h"

using namespace beatwitness;

namespace {

/// Processor time of this thread so far: what a frame costs on a machine that others use too.
double processor_ms() {
    timespec time{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
    return static_cast<double>(time.tv_sec) * 1e3 + static_cast<double>(time.tv_nsec) * 1e-6;
}

double wall_ms() {
    return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

/// Median and 95th percentile of `frames` runs of `frame`, after five to warm up.
void measure(const char* what, double ratio, int frames, const std::function<void(int)>& frame) {
    std::vector<double> wall, processor;
    for (int i = -5; i < frames; ++i) {
        const double wallBegin = wall_ms(), processorBegin = processor_ms();
        frame(i + 5);
        if (i < 0) continue;
        wall.push_back(wall_ms() - wallBegin);
        processor.push_back(processor_ms() - processorBegin);
    }
    const auto at = [](std::vector<double>& taken, std::size_t percent) {
        std::ranges::sort(taken);
        return taken[std::min(taken.size() - 1, taken.size() * percent / 100)];
    };
    std::printf(R"({"benchmark":"%s","pixel_ratio":%g,"wall_median_ms":%.2f,"wall_p95_ms":%.2f,)"
                R"("processor_median_ms":%.2f,"processor_p95_ms":%.2f})"
                "\n",
                what, ratio, at(wall, 50), at(wall, 95), at(processor, 50), at(processor, 95));
}

/// Lets the view paint what it asked to be painted, into its backing store, as a window system would.
void paintWhatIsDue() {
    QApplication::sendPostedEvents();
    QApplication::sendPostedEvents(nullptr, QEvent::UpdateRequest);
}

/// 24 h, 4 tests, and 300 flags on the first of them.
std::shared_ptr<const analysis::SessionAnalysis> flaggedDay() {
    auto session = *widgets_test::rowingSession(24 * 60, 4);
    auto& flags = session.tests.front().flags;
    flags.clear();
    for (int i = 0; i < 300; ++i) {
        flags::Flag flag;
        flag.span = {sessionTime(i * 285.0 + 20), sessionTime(i * 285.0 + 20 + 5 + i % 50)};
        flag.magnitude = 5 + i % 50;
        flag.unit = "s";
        flags.push_back(flag);
    }
    return std::make_shared<const analysis::SessionAnalysis>(std::move(session));
}

void measureTimeline(double ratio) {
    widgets::TimelineView view;
    view.resize(1920, 1080);
    view.setSession(flaggedDay());
    view.show();
    QApplication::processEvents();
    measure("pan 24 h x 4, 23 h in sight", ratio, 60, [&](int i) {
        view.setRange(i * 30, i * 30 + 82'800);
        paintWhatIsDue();
    });
    measure("pan 24 h x 4, 1 h in sight", ratio, 60, [&](int i) {
        view.setRange(i * 30, i * 30 + 3600);
        paintWhatIsDue();
    });
    measure("pan 24 h x 4, 2 min in sight", ratio, 60, [&](int i) {
        view.setRange(i, i + 120);
        paintWhatIsDue();
    });
    view.setRange(0, 82'800);
    measure("at rest, 23 h in sight", ratio, 20, [&](int i) {
        view.setAligned(i % 2 == 0);
        paintWhatIsDue();
    });
    measure("move the cursor", ratio, 100, [&](int i) {
        view.setCursor(20 + i * 700);
        paintWhatIsDue();
    });
}

void measureMap(double ratio) {
    widgets::AgreementMapView view;
    view.resize(900, 900);
    view.setPairs(widgets_test::rowingSession(24 * 60, 1), 0, true);
    view.show();
    QApplication::processEvents();
    measure("map recoloured and drawn", ratio, 60, [&](int i) {
        view.setLogarithmic(i % 2 == 0);
        paintWhatIsDue();
    });
}

}  // namespace

int main(int argc, char** argv) {
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    QApplication app(argc, argv);
    widgets::applyTheme(app, widgets::ThemeChoice::Light);
    const double ratio = app.devicePixelRatio();  // QT_SCALE_FACTOR=2 for the second
    measureTimeline(ratio);
    measureMap(ratio);
    return 0;
}
