// Frame times of the plot views, against performance-goals.md "Drawing": one JSON line each, milliseconds.
//
// A frame is everything from the new range to painted pixels in the window's backing store. 1920 x 1080, four
// 24 h traces besides the reference, 300 flags, at the pixel ratio of QT_SCALE_FACTOR. Frames of a pan follow
// each other as in a drag, so all but the first are coarse; "at rest" is the full drawing that follows.
#include <QApplication>
#include <QMouseEvent>
#include <QWheelEvent>
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <functional>

#include "core/agreement/pair_filter.h"
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

/// 60 phases of 20 min, a third of them with one inside, and some pins.
widgets::TimelineMarks sixtyPhases() {
    widgets::TimelineMarks marks;
    for (int i = 0; i < 60; ++i) {
        const double begin = i * 1430.0;
        marks.phases.push_back({begin, begin + 1200, trace::PhaseKind(i % trace::phaseKinds), 0, "effort"});
        if (i % 3 == 0) marks.phases.push_back({begin + 300, begin + 600, trace::PhaseKind::Set, 1, "set"});
    }
    for (int i = 0; i < 20; ++i)
        marks.pins.push_back({i * 4000.0 + 77, "note"});
    return marks;
}

void sendMouse(QWidget& view, QEvent::Type type, QPointF at, Qt::MouseButton button, Qt::MouseButtons held) {
    QMouseEvent event(type, at, view.mapToGlobal(at), button, held, Qt::NoModifier);
    QApplication::sendEvent(&view, &event);
}

/// As a hand does it: moves, a drag, turns of the wheel; 300 flags, 60 phases.
void measureReview(double ratio) {
    widgets::TimelineView view;
    view.resize(1920, 1080);
    view.setSession(flaggedDay());
    view.setMarks(sixtyPhases());
    view.show();
    QApplication::processEvents();
    measure("scrub by the mouse, 24 h x 4, 60 phases", ratio, 200, [&](int i) {
        sendMouse(view, QEvent::MouseMove, QPointF(200 + i * 7, 500), Qt::NoButton, Qt::NoButton);
        paintWhatIsDue();
    });
    view.setRange(10'000, 60'000);
    sendMouse(view, QEvent::MouseButtonPress, QPointF(900, 500), Qt::LeftButton, Qt::LeftButton);
    measure("pan by a drag, 14 h in sight, 60 phases", ratio, 100, [&](int i) {
        sendMouse(view, QEvent::MouseMove, QPointF(895 - i * 3, 500), Qt::NoButton, Qt::LeftButton);
        paintWhatIsDue();
    });
    sendMouse(view, QEvent::MouseButtonRelease, QPointF(600, 500), Qt::LeftButton, Qt::NoButton);
    view.fitAll();
    measure("zoom by the wheel, from 24 h, 60 phases", ratio, 60, [&](int i) {
        QWheelEvent event(QPointF(900, 500), view.mapToGlobal(QPointF(900, 500)), {},
                          QPoint(0, i % 30 < 15 ? 120 : -120), Qt::NoButton, Qt::NoModifier,
                          Qt::NoScrollPhase, false);
        QApplication::sendEvent(&view, &event);
        paintWhatIsDue();
    });
}

/// A selection over 12 sessions of an hour: filter, numbers, the lit map and the lit stretches of the
/// timeline.
void measureSelection(double ratio) {
    std::vector<std::shared_ptr<const analysis::SessionAnalysis>> sessions;
    for (int i = 0; i < 12; ++i)
        sessions.push_back(widgets_test::rowingSession(60, 1));
    widgets::AgreementMapView map;
    map.resize(900, 900);
    map.setPairs(sessions.front(), 0, true);
    map.show();
    widgets::TimelineView timeline;
    timeline.resize(1300, 700);
    timeline.setSession(sessions.front());
    timeline.show();
    QApplication::processEvents();
    measure("linked selection over 12 sessions", ratio, 60, [&](int i) {
        agreement::PairFilter filter;
        filter.range = {sessionTime(100 + i), sessionTime(1900 + i * 10)};
        auto lit = std::make_shared<trace::Pairs>();
        widgets::TimelineMarks marks;
        marks.filtered = true;
        for (const auto& session : sessions) {
            const auto passed = agreement::filtered(session->tests.front().view().pairs, filter);
            (void)agreement::agreementOf(passed);
            lit->seconds.insert(lit->seconds.end(), passed.seconds.begin(), passed.seconds.end());
            lit->reference.insert(lit->reference.end(), passed.reference.begin(), passed.reference.end());
            lit->test.insert(lit->test.end(), passed.test.begin(), passed.test.end());
            if (session != sessions.front()) continue;
            for (const auto& stretch : agreement::stretchesOf(passed))
                marks.lit.emplace_back(secondsOf(stretch.begin), secondsOf(stretch.end));
        }
        map.setLit(std::move(lit));
        timeline.setMarks(std::move(marks));
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
        view.setScale(i % 2 == 0 ? widgets::ColourScale::Logarithmic : widgets::ColourScale::Linear);
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
    measureReview(ratio);
    measureSelection(ratio);
    return 0;
}
