// Frame times of the plot views, against performance-goals.md "Drawing": one JSON line each, milliseconds.
//
// A frame is everything from the new range to painted pixels: the view renders into an image of its size,
// which is what the window system would be handed. 1920 x 1080, four 24 h traces besides the reference, at
// pixel ratio 1 and 2.
#include <qcustomplot.h>
#include <QApplication>
#include <QImage>
#include <QPainter>
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

/// The view as the window system would be given it. A queued replot is due first.
class Screen {
public:
    Screen(QWidget& view, double ratio) : view_(view), image_(view.size() * ratio, QImage::Format_RGB32) {
        image_.setDevicePixelRatio(ratio);
        plot_ = view.findChild<QCustomPlot*>();
    }
    void show(bool replot) {
        if (replot) plot_->replot(QCustomPlot::rpImmediateRefresh);
        view_.render(&image_);
    }

private:
    QWidget& view_;
    QImage image_;
    QCustomPlot* plot_;
};

void measureTimeline(double ratio) {
    widgets::TimelineView view;
    view.resize(1920, 1080);
    view.setSession(widgets_test::rowingSession(24 * 60, 4));
    view.show();
    QApplication::processEvents();
    Screen screen(view, ratio);
    measure("pan 24 h x 4, 23 h in sight", ratio, 60, [&](int i) {
        view.setRange(i * 30, i * 30 + 82'800);
        screen.show(true);
    });
    measure("pan 24 h x 4, 1 h in sight", ratio, 60, [&](int i) {
        view.setRange(i * 30, i * 30 + 3600);
        screen.show(true);
    });
    measure("pan 24 h x 4, 2 min in sight", ratio, 60, [&](int i) {
        view.setRange(i, i + 120);
        screen.show(true);
    });
    measure("move the cursor", ratio, 100, [&](int i) {
        view.setCursor(20 + i);
        screen.show(false);
    });
}

void measureMap(double ratio) {
    widgets::AgreementMapView view;
    view.resize(900, 900);
    view.setPairs(widgets_test::rowingSession(24 * 60, 1), 0, true);
    view.show();
    QApplication::processEvents();
    Screen screen(view, ratio);
    measure("map recoloured and drawn", ratio, 60, [&](int i) {
        view.setLogarithmic(i % 2 == 0);
        screen.show(true);
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
